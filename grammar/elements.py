"""A document in the order it is read: headings, stretches of prose and diagrams."""

import re
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from .document import Block, Diagram, Document
from .spans import Span, lines_of
from .traces import NUMBERED_MOVE

_DIVIDER = re.compile(r"\s*([-=_*~#+.·•])(?:\s*\1){2,}\s*")


@dataclass(frozen=True)
class Element:
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
        first = max(bisect_right(starts, place) - 1, 0)
        for diagram in diagrams[first:]:
            if diagram.span.start >= block.span.end:
                break
            if diagram.span.end <= place:
                continue
            cut += [(left, block, None) for left in _before_diagram(document.masked, place, diagram.span.start)]
            place = diagram.span.end
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


def _before_diagram(text: str, start: int, end: int) -> Iterator[Span]:
    """Yield the prose from `start` to a diagram at `end`, its last line apart if a solution stands above that line."""
    line = max(text.rfind("\n", start, max(start, end)), text.rfind("\r", start, max(start, end))) + 1
    if NUMBERED_MOVE.search(text, start, max(line, start)) and not NUMBERED_MOVE.search(text, line, end):
        parts = [(start, line), (line, end)]
    else:
        parts = [(start, max(start, end))]
    for part in parts:
        if left := trim(text, *part):
            yield left


def _dividers(document: Document) -> list[int]:
    """Return where lines such as "* * *" stand that a reader has masked."""
    return [
        line.start
        for line in lines_of(document.text).spans
        if not line.of(document.masked).strip() and _DIVIDER.fullmatch(document.text, *line)
    ]
