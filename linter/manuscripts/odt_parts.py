"""The styles of an .odt: which paragraphs are titles, which lists are numbered and how far each has come."""

from msgspec import Struct, field

from .package import Element, local, value

_TITLES = frozenset(("title", "subtitle"))


def headings_of(*roots: Element | None) -> dict[str, int]:
    """Return the level of each paragraph style that is a heading or a title, by its name."""
    styles = {value(each, "name") or "": each for each in _named(roots, "style")}
    found: dict[str, int] = {}
    for key in styles:
        name: str | None = key
        for _ in range(20):  # styles stand below each other, perhaps in a circle
            style = styles.get(name or "")
            outline = value(style, "default-outline-level")
            if outline and outline.isdecimal() and int(outline):
                found[key] = int(outline)
                break
            if (name or "").casefold() in _TITLES:
                found[key] = 1
                break
            if style is None:
                break
            name = value(style, "parent-style-name")
    return found


def _named(roots: tuple[Element | None, ...], kind: str) -> list[Element]:
    """Return the styles of a kind in the style sections of a file."""
    return [
        style
        for root in roots
        if root is not None
        for section in root
        if local(section) in ("automatic-styles", "styles")
        for style in section
        if local(style) == kind
    ]


class Lists(Struct):
    """The numbered lists of a document. `numbered`: the first number of each style at each level counted in figures."""

    numbered: dict[tuple[str, int], int]
    styles: list[str] = field(default_factory=list)  # of the lists one stands in
    reached: list[int] = field(default_factory=list)
    last: dict[tuple[str, int], int] = field(default_factory=dict)  # where a list ended that another may go on with

    def enter(self, element: Element, level: int) -> None:
        """Begin a list."""
        style = value(element, "style-name") or (self.styles[-1] if self.styles else "")
        first = self.numbered.get((style, level), 1)
        goes_on = value(element, "continue-numbering") == "true" or value(element, "continue-list") is not None
        self.styles.append(style)
        self.reached.append(self.last.get((style, level), first - 1) if goes_on else first - 1)

    def count(self, item: Element, level: int) -> int | None:
        """Return the number of the next item, None in a list without numbers."""
        start = value(item, "start-value")
        self.reached[-1] = int(start) if start and start.isdecimal() else self.reached[-1] + 1
        return self.reached[-1] if (self.styles[-1], level) in self.numbered else None

    def leave(self, level: int) -> None:
        """End a list."""
        self.last[self.styles.pop(), level] = self.reached.pop()


def lists_of(*roots: Element | None) -> Lists:
    """Return the numbered lists that a document may use."""
    numbered = {}
    for style in _named(roots, "list-style"):
        for each in style:
            if local(each) != "list-level-style-number" or value(each, "num-format") != "1":
                continue
            level, start = value(each, "level") or "1", value(each, "start-value") or "1"
            if level.isdecimal() and start.isdecimal():
                numbered[value(style, "name") or "", int(level) - 1] = int(start)
    return Lists(numbered)
