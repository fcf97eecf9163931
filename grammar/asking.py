"""Orders for some puzzles of a file, given to those that they name."""

from bisect import bisect_right
from dataclasses import replace

from .document import Document
from .orders import orders_by_number
from .sections import Sections
from .spans import Span
from .titles import names_of, tag


def with_orders(document: Document, sections: Sections) -> Sections:
    """Return the sections with "11 and 12: mate in two" among the orders of both puzzles."""
    orders = list(orders_by_number(document.masked))
    if not orders:
        return sections
    named: dict[int, list[Span]] = {}
    for span, numbers in orders:
        for number in numbers:
            named.setdefault(number, []).append(span)
    ends = sorted(diagram.span.end for puzzle in sections.puzzles for diagram in puzzle.diagrams)
    puzzles = []
    for puzzle in sections.puzzles:
        start = puzzle.diagrams[0].span.start if puzzle.diagrams else puzzle.span.start
        before = ends[bisect_right(ends, start) - 1] if bisect_right(ends, start) else 0
        names = names_of(puzzle.title, tag(document.text, start, before))
        own = [span for name in names if isinstance(name, int) for span in named.get(name, ())]
        puzzles.append(replace(puzzle, orders=tuple(dict.fromkeys(own))) if own else puzzle)
    return replace(sections, puzzles=tuple(puzzles))
