"""Positions as they are printed: FEN, piece lists and drawn boards, or as they are told."""

from .boards import find_boards
from .document import Diagram, Document
from .fens import find_fens
from .men import find_lists
from .told_men import find_told


def find_diagrams(document: Document) -> list[Diagram]:
    """Return every position printed in the document, in order; no two overlap. Never raises for any text.

    A position that cannot be read has `faults`. Whether one that can be read may stand
    (kings, pawns on the last rank) is not asked here.
    """
    found: list[Diagram] = []
    for diagrams in (find_fens(document.masked), find_boards(document.masked), find_lists(document.masked)):
        for diagram in diagrams:
            if all(diagram.span.end <= other.span.start or other.span.end <= diagram.span.start for other in found):
                found.append(diagram)
    printed = list(found)
    found += [told for told in find_told(document.masked) if not any(_retold(told, diagram) for diagram in printed)]
    return sorted(found, key=lambda diagram: diagram.span)


def _retold(told: Diagram, printed: Diagram) -> bool:
    """Tell whether words tell a position that is printed: they overlap, or have half of the men in common."""
    if told.span.start < printed.span.end and printed.span.start < told.span.end:
        return True
    shared = sum(told.pieces.get(square) == piece for square, piece in printed.pieces.items())
    return bool(printed.faults) or 2 * shared >= min(len(told.pieces), len(printed.pieces))
