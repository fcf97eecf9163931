"""The lesser parts of a .docx: what it is linked with, its styles, its numbered lists, its comments."""

import posixpath
import re

from msgspec import Struct, field

from .model import Comment
from .package import Element, Package, child, local, path_to, value

_HEADING = re.compile(r"heading ([1-9])", re.IGNORECASE)


class Relation(Struct, frozen=True):
    """What a part is linked with: the last word of the kind, and the name of the other part, or an address outside."""

    kind: str
    target: str
    outside: bool


def relations_name(part: str) -> str:
    """Return the name of the part that holds the links of a part ("": of the whole file)."""
    folder, name = posixpath.split(part)
    return posixpath.join(folder, "_rels", f"{name}.rels")


def relations_of(package: Package, part: str) -> dict[str, Relation]:
    """Return the links of a part by their ids."""
    name = relations_name(part)
    if name not in package.names:
        return {}
    found = {}
    for each in package.xml(name):
        target = value(each, "Target") or ""
        outside = value(each, "TargetMode") == "External"
        if not outside:
            joined = posixpath.join(posixpath.dirname(part), target)
            target = target.lstrip("/") if target.startswith("/") else posixpath.normpath(joined)
        kind = (value(each, "Type") or "").rpartition("/")[2]
        found[value(each, "Id") or ""] = Relation(kind, target, outside)
    return found


def headings_of(package: Package, name: str | None) -> dict[str, int]:
    """Return the level of each style that is a heading, by the id of the style."""
    if name is None or name not in package.names:
        return {}
    styles = {value(each, "styleId") or "": each for each in package.xml(name) if local(each) == "style"}
    return {key: level for key in styles if (level := _level(styles, key))}


def _level(styles: dict[str, Element], key: str) -> int:
    for _ in range(20):  # styles are based on each other, perhaps in a circle
        style = styles.get(key)
        if style is None:
            return 0
        name = value(child(style, "name")) or ""
        if found := _HEADING.fullmatch(name):
            return int(found[1])
        if name.casefold() == "title":
            return 1
        outline = value(path_to(style, "pPr", "outlineLvl"))
        if outline and outline.isdecimal() and int(outline) < 9:
            return int(outline) + 1
        key = value(child(style, "basedOn")) or ""
    return 0


class Numbers(Struct):
    """The numbered lists of a document: which are counted in figures, and how far each has come."""

    starts: dict[tuple[str, int], int] = field(default_factory=dict)  # by list and level
    shared: dict[str, str] = field(default_factory=dict)  # the lists that count on together
    styles: dict[str, str] = field(default_factory=dict)  # the list of a style
    reached: dict[tuple[str, int], int] = field(default_factory=dict)

    def count(self, properties: Element | None, style: str | None) -> int | None:
        """Return the number of the paragraph with these properties, None if it has none."""
        numbered = child(properties, "numPr")
        key = value(child(numbered, "numId")) or (self.styles.get(style or "") if numbered is None else None)
        level_said = value(child(numbered, "ilvl")) or "0"
        level = int(level_said) if level_said.isdecimal() else 0
        if key is None or (key, level) not in self.starts:
            return None
        together = self.shared.get(key, key)
        place = (together, level)
        self.reached[place] = self.reached.get(place, self.starts[key, level] - 1) + 1
        for other in [other for other in self.reached if other[0] == together and other[1] > level]:
            del self.reached[other]
        return self.reached[place]


def numbers_of(package: Package, name: str | None) -> Numbers:
    """Return the numbered lists that a document may use."""
    numbers = Numbers()
    if name is None or name not in package.names:
        return numbers
    root = package.xml(name)
    abstract = {value(each, "abstractNumId"): each for each in root if local(each) == "abstractNum"}
    for each in root:
        if local(each) != "num":
            continue
        key = value(each, "numId") or ""
        kept = value(child(each, "abstractNumId"))
        overridden = False
        for level in abstract.get(kept, ()):
            if local(level) != "lvl" or value(child(level, "numFmt")) != "decimal":
                continue
            depth = int(value(level, "ilvl") or 0)
            start = value(child(level, "start")) or "1"
            for change in each:
                if local(change) == "lvlOverride" and value(change, "ilvl") == str(depth):
                    start = value(child(change, "startOverride")) or start
                    overridden = True
            if start.isdecimal():
                numbers.starts[key, depth] = int(start)
            if style := value(child(level, "pStyle")):
                numbers.styles[style] = key
        numbers.shared[key] = key if overridden else f"abstract {kept}"
    return numbers


def comments_of(package: Package, name: str | None, extended: str | None) -> list[Comment]:
    """Return the comments of a document with the answers to each."""
    if name is None or name not in package.names:
        return []
    parents: dict[str, str] = {}
    done: set[str] = set()
    if extended is not None and extended in package.names:
        for each in package.xml(extended):
            key = value(each, "paraId") or ""
            if parent := value(each, "paraIdParent"):
                parents[key] = parent
            if value(each, "done") in ("1", "true"):
                done.add(key)
    found = []
    for each in package.xml(name):
        if local(each) == "comment":
            paragraphs = [part for part in each.iter() if local(part) == "p"]
            key = (value(paragraphs[-1], "paraId") or "") if paragraphs else ""
            found.append((each, key, "\n".join(_words(paragraph) for paragraph in paragraphs)))
    return [
        Comment(
            value(each, "author") or "",
            text,
            (f"start {value(each, 'id')}", f"end {value(each, 'id')}"),
            tuple(other for _, below, other in found if key and parents.get(below) == key),
            key in done,
        )
        for each, key, text in found
    ]


def _words(paragraph: Element) -> str:
    signs = {"tab": "\t", "br": "\n", "cr": "\n"}
    return "".join((each.text or "") if local(each) == "t" else signs.get(local(each), "") for each in paragraph.iter())
