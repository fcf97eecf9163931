"""A document in the order it is read: headings, stretches of prose and diagrams."""

import re
from bisect import bisect_right
from collections.abc import Iterator, Sequence

from msgspec import Struct

from .document import Block, Diagram, Document
from .spans import Span, lines_of
from .traces import NUMBERED_MOVE
from .words import SPOKEN_SQUARE

_LEAD_IN_LINES = 3
_SQUARES_OF_PLAY = 4
_ANNOUNCES = re.compile(
    r"\b(?:next|another|second|third|last|one\s+more|number|other\s+one|mates?\s+in|(?:white|black)\s+to\s+(?:move|play)"
    r"|again)\b",
    re.I,
)
_STOP = re.compile(r"[.!?][\"”»)]?\s+")
_DIVIDER = re.compile(r"\s*([-=_*~#+.·•])(?:\s*\1){2,}\s*")


class Element(Struct, frozen=True):
    """A heading, a stretch of prose or a diagram, in the order of the document."""

    span: Span
    block: Block | None = None
    diagram: Diagram | None = None
    after_divider: bool = False

    @property
    def heading(self) -> bool:
        """Whether it is a heading."""
        return self.block is not None and self.block.kind == "heading"


def trim(text: str, start: int, end: int) -> Span | None:
    """Return the span of what is not blank between two offsets, None if all is."""
    inked = text[start:end]
    lead = len(inked) - len(inked.lstrip())
    return Span(start + lead, start + len(inked.rstrip())) if inked.strip() else None


def elements(document: Document, diagrams: Sequence[Diagram]) -> list[Element]:
    """Cut the blocks at the diagrams; what is left of each block is one or more elements."""
    dividers = _dividers(document)
    cut: list[tuple[Span, Block | None, Diagram | None]] = [(d.span, None, d) for d in diagrams]
    starts = [d.span.start for d in diagrams]
    for block in document.blocks:
        place = block.span.start
        last: Diagram | None = None
        first = max(bisect_right(starts, place) - 1, 0)
        for diagram in diagrams[first:]:
            if diagram.span.start >= block.span.end:
                break
            if diagram.span.end <= place:
                continue
            lead = _before_diagram(document.masked, place, diagram.span.start, last)
            cut += [(left, block, None) for left in lead]
            place, last = diagram.span.end, diagram
        if place < block.span.end and (left := trim(document.masked, place, block.span.end)):
            cut.append((left, block, None))
    cut.sort(key=lambda item: item[0])
    found = []
    before: int | None = None  # no divider counts above the first element or right under a heading
    for span, owner, shown in cut:
        divided = before is not None and bisect_right(dividers, span.start) > bisect_right(dividers, before)
        found.append(Element(span, owner, shown, divided))
        before = None if found[-1].heading else span.start
    return found


def _before_diagram(text: str, start: int, end: int, last: Diagram | None) -> Iterator[Span]:
    """Yield the prose from `start` to a diagram at `end`, what leads to it apart if a solution stands above that.

    `last` is the diagram before it in the same block, as in a talk of several.
    """
    line = _line_start(text, start, end)
    if NUMBERED_MOVE.search(text, start, max(line, start)) and not NUMBERED_MOVE.search(text, line, end):
        parts = [(start, line), (line, end)]
    elif last is not None and (last.kind == "list" or plays_in_words(text, start, line)):
        lead = _lead(text, start, line if line > start else end)
        parts = [(start, lead), (lead, end)]
    elif last is not None and last.kind == "fen" and (own := text.find("\n", start, max(start, end))) >= 0:
        parts = [(start, own), (own, end)]  # "(9 + 6)" behind a position, above "Diagram B:" and another
    else:
        parts = [(start, max(start, end))]
    for part in parts:
        if left := trim(text, *part):
            yield left


def _line_start(text: str, start: int, end: int) -> int:
    end = max(start, end)
    return max(text.rfind("\n", start, end) + 1, text.rfind("\r", start, end) + 1, start)


def plays_in_words(text: str, start: int, end: int) -> bool:
    """Tell whether so many squares are named in a stretch that it is a solution told in words."""
    return sum(1 for _ in SPOKEN_SQUARE.finditer(text, start, max(start, end))) >= _SQUARES_OF_PLAY


def _lead(text: str, start: int, line: int) -> int:
    """Return where the lines begin that lead to the diagram in `line`: those above it that announce another puzzle.

    On one line, as in a talk, the sentences do.
    """
    if "\n" not in text[start:line]:
        return _sentences_that_announce(text, start, line)
    lead = above = line
    for _ in range(_LEAD_IN_LINES):
        above = _line_start(text, start, max(start, above - 1))
        if above <= start or SPOKEN_SQUARE.search(text, above, lead):
            break
        if _ANNOUNCES.search(text, above, lead):
            lead = above
    return lead


def _sentences_that_announce(text: str, start: int, end: int) -> int:
    """Return where the last sentences begin that announce another puzzle and name no square."""
    lead = end
    ends = [start, *(stop.end() for stop in _STOP.finditer(text, start, end))]
    for place in reversed(ends[-_LEAD_IN_LINES:]):
        if SPOKEN_SQUARE.search(text, place, lead):
            break
        if _ANNOUNCES.search(text, place, lead):
            lead = place
    return lead


def _dividers(document: Document) -> list[int]:
    """Return where lines such as "* * *" stand that a reader has masked."""
    return [
        line.start
        for line in lines_of(document.text).spans
        if not line.of(document.masked).strip() and _DIVIDER.fullmatch(document.text, *line)
    ]
