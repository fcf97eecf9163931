"""Positions told in words that no form of a position takes in: of what the words may tell, what the proof confirms.

Words and signs that name men and squares can be put together in many ways (grammar/gleaning). A set of men is hardly
ever by chance a puzzle with exactly one key in the moves that are asked for, so the likeliest that is one is meant.
Where none is, there is no position, and the text is not understood.
"""

from collections.abc import Iterator

import chess
from keyproof.grammar.document import Diagram, Document, PuzzleText
from keyproof.grammar.gleaning.tellings import Telling, tellings
from keyproof.grammar.sections import Sections, puzzle_texts
from keyproof.grammar.spans import Span
from msgspec.structs import replace

from .case import Case
from .meant import sound
from .pricing import Make, Pricing

ALIKE = 5  # tellings of which one costs so little more than another, its men apart, are alike plain
FOLLOWING = 2_000  # characters behind a telling by which they are weighed


def gleaned(document: Document, sections: Sections, make: Make) -> tuple[Document, Sections]:
    """Return the document and its parting with the positions added that are told where none was read."""
    if document.puzzles is not None or any(puzzle.asked is not None for puzzle in sections.puzzles):
        return document, sections
    found = [diagram for span in _unread(document, sections) for diagram in _told(document, span, make)]
    if not found:
        return document, sections
    document = replace(document, gleaned=tuple(found))
    return document, puzzle_texts(document)


def _unread(document: Document, sections: Sections) -> Iterator[Span]:
    """Yield the stretches that stand on no position, those that follow each other as one.

    A position that was printed with a fault is one, though it cannot be played: the fault is the author's, and his to
    mend. Of a position told in words it is rather one of the reading.
    """
    lost = [*sections.loose, *sections.headings]
    for puzzle in sections.puzzles:
        if all(diagram.faults and diagram.told for diagram in puzzle.diagrams):
            lost += [*puzzle.parts]
    found: list[Span] = []
    for span in sorted(lost):
        if found and not document.masked[found[-1].end : span.start].strip():
            found[-1] = found[-1].to(span)
        elif found and span.start <= found[-1].end:
            found[-1] = Span(found[-1].start, max(found[-1].end, span.end))
        else:
            found.append(span)
    yield from found


def _told(document: Document, span: Span, make: Make) -> list[Diagram]:
    """Return the positions that a stretch tells, none of which overlaps another.

    The plainest tellings go first, of those alike the first in the text.
    """
    found: list[Diagram] = []
    told = tellings(document.masked, span)
    for telling in sorted(told, key=lambda each: (each.strain // ALIKE, each.diagrams[0].span.start)):
        place = telling.diagrams[0].span
        if not any(place.overlaps(other.span) for other in found):
            found += filter(None, [_meant(telling, span, make)])
    return found


def _meant(telling: Telling, span: Span, make: Make) -> Diagram | None:
    """Return the likeliest position that is sound; of those alike the one on which what follows can be played."""
    found: list[Case] = []
    best: int | None = None
    for rank, diagram in zip(telling.ranks, telling.diagrams, strict=True):
        if best is not None and rank > best:
            break
        if _possible(diagram) and sound(case := make(_puzzle(diagram, span))):
            found.append(case)
            best = rank
    if not found:
        return None
    pricing = Pricing(found[0].masked, found, make)
    prices = [pricing.of(case.puzzle.prose[-1], place)[0] for place, case in enumerate(found)]
    return found[prices.index(min(prices))].puzzle.diagrams[0]


def _puzzle(diagram: Diagram, span: Span) -> PuzzleText:
    """Return a puzzle of which the stretch, but not much more than is needed, is the text."""
    shown = diagram.span
    prose = Span(span.start, shown.start), Span(shown.end, min(span.end, shown.end + FOLLOWING))
    return PuzzleText("", span, (diagram,), prose)


def _possible(diagram: Diagram) -> bool:
    board = chess.Board(None)
    board.set_piece_map(diagram.pieces)
    return not board.status() & ~chess.STATUS_OPPOSITE_CHECK
