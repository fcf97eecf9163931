"""Orders for some puzzles of a file, given to those that they name."""

from bisect import bisect_right
from collections.abc import Iterable

from msgspec.structs import replace

from .document import Document, PuzzleText
from .orders import asks_the_same, orders_by_number, orders_of_all, orders_over_all
from .sections import Sections
from .spans import Span
from .titles import names_of, tag


def with_orders(document: Document, sections: Sections) -> Sections:
    """Return the sections with "11 and 12: mate in two" among the orders of both puzzles.

    What stands over one of several boards side by side is an order of that one too.
    """
    sections = replace(sections, puzzles=tuple(map(_with_told, map(_with_headings, sections.puzzles))))
    sections = _with_shared(document.masked, sections)
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
        names = names_of(puzzle.title, tag(document.words, start, before))
        own = [span for name in names if isinstance(name, int) for span in named.get(name, ())]
        puzzles.append(replace(puzzle, orders=(*puzzle.orders, *dict.fromkeys(own))) if own else puzzle)
    return replace(sections, puzzles=tuple(puzzles))


def _with_headings(puzzle: PuzzleText) -> PuzzleText:
    headings = [diagram.heading for diagram in puzzle.diagrams if diagram.heading is not None]
    return replace(puzzle, orders=(*headings, *puzzle.orders)) if headings else puzzle


def _with_told(puzzle: PuzzleText) -> PuzzleText:
    """Return a puzzle with what is asked between the men of a position told in words."""
    told = tuple(diagram.span for diagram in puzzle.diagrams if diagram.told)
    return replace(puzzle, orders=(*puzzle.orders, *told)) if told else puzzle


def _with_shared(masked: str, sections: Sections) -> Sections:
    """Return the sections with what is asked of all positions, or again of the next one, among the orders of each.

    What a puzzle asks itself goes before that.
    """
    shown = [puzzle for puzzle in sections.puzzles if puzzle.diagrams]
    if len(shown) < 2:
        return sections
    first = min(diagram.span.start for puzzle in shown for diagram in puzzle.diagrams)
    words = _without(masked, (diagram.span for puzzle in shown for diagram in puzzle.diagrams))
    of_all = tuple(dict.fromkeys((*orders_of_all(words), *orders_over_all(masked, first))))
    puzzles, last = [], None
    for puzzle in sections.puzzles:
        again = (
            ()
            if last is None or not _asks_the_same(masked, puzzle)
            else (*last.orders, *last.prose[:1], *last.headings)
        )
        puzzles.append(replace(puzzle, orders=(*puzzle.orders, *again, *of_all)) if puzzle.diagrams else puzzle)
        last = puzzles[-1] if puzzle.diagrams else last
    return replace(sections, puzzles=tuple(puzzles))


def _without(masked: str, spans: Iterable[Span]) -> str:
    """Return a text of the same length with blanks for positions: "Both ... and ... are mates in two"."""
    parts, place = [], 0
    for span in sorted(spans):
        parts += [masked[place : span.start], " " * (span.end - max(span.start, place))]
        place = max(place, span.end)
    return "".join([*parts, masked[place:]])


def _asks_the_same(masked: str, puzzle: PuzzleText) -> bool:
    return any(asks_the_same(masked, span) is not None for span in puzzle.prose[:2])
