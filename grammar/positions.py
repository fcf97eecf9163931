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
    if not found:  # nobody tells the men of a position that is printed
        found = list(find_told(document.masked))
    return sorted(found, key=lambda diagram: diagram.span)
