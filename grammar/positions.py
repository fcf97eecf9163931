"""Positions as they are printed: FEN, piece lists and drawn boards, or as they are told."""

from bisect import bisect_left
from functools import lru_cache

from msgspec.structs import replace

from .boards import find_boards
from .broken_fens import find_broken
from .document import Diagram, Document
from .fens import find_fens
from .men import find_lists, find_tables
from .quoted import unquoted
from .rows_aloud import find_rows_aloud
from .spans import Span
from .told_men import find_told


def find_diagrams(document: Document) -> list[Diagram]:
    """Return every position printed in the document, in order; no two overlap. Never raises for any text.

    A position that cannot be read has `faults`. Whether one that can be read may stand
    (kings, pawns on the last rank) is not asked here.
    """
    if document.beside or document.gleaned:
        return _found(document)
    return list(_printed(document.text, document.masked))


@lru_cache(maxsize=2)  # the reader of a plain text, and whoever parts it into puzzles, ask for the same
def _printed(text: str, masked: str) -> tuple[Diagram, ...]:
    return tuple(_found(Document("", text, masked, ())))


def _found(document: Document) -> list[Diagram]:
    found = sorted([*(each.diagram for each in document.beside), *document.gleaned], key=lambda diagram: diagram.span)
    masked = unquoted(document.masked)
    for diagrams in (
        find_broken(masked),
        find_fens(masked),
        find_boards(masked),
        find_rows_aloud(masked),
        find_tables(document),
        find_lists(masked),
    ):
        for diagram in diagrams:
            place = bisect_left(found, diagram.span, key=lambda other: other.span)
            beside = found[max(0, place - 1) : place + 1]
            if all(diagram.span.end <= other.span.start or other.span.end <= diagram.span.start for other in beside):
                found.insert(place, diagram)
    printed = [(diagram, _men(diagram)) for diagram in found]
    for told in find_told(masked):
        if told.faults and found:
            continue  # words about the men of a position that is shown
        men = _men(told)
        listed = [diagram for diagram, _ in printed if diagram not in document.gleaned]
        poor = [diagram for diagram in listed if _understood_better(told, diagram)]
        if poor or not any(_retold(told, men, diagram, theirs) for diagram, theirs in printed):
            found = [*(diagram for diagram in found if diagram not in poor), told]
    return sorted((_with_quoting(diagram, document.masked) for diagram in found), key=lambda diagram: diagram.span)


def _with_quoting(diagram: Diagram, text: str) -> Diagram:
    """Return a position with the signs that quote its first line in a mail."""
    line = max(text.rfind("\n", 0, diagram.span.start), text.rfind("\r", 0, diagram.span.start)) + 1
    before = text[line : diagram.span.start]
    if ">" not in before or before.strip(" \t>"):
        return diagram
    return replace(diagram, span=Span(line + before.index(">"), diagram.span.end))


def _understood_better(told: Diagram, printed: Diagram) -> bool:
    """Tell whether a list of men that could not be read whole, or is a part of what is told, was read as words."""
    overlap = told.span.start < printed.span.end and printed.span.start < told.span.end
    if not overlap or told.faults or len(told.pieces) <= len(printed.pieces):
        return False
    return bool(printed.faults) or (printed.kind == "list" and printed.pieces.items() <= told.pieces.items())


def _men(diagram: Diagram) -> int:
    """Return the men of a position as a set of bits, one for each man on each square."""
    bits = 0
    for square, piece in diagram.pieces.items():
        bits |= 1 << (64 * (piece.piece_type + 6 * piece.color) + square)
    return bits


def _retold(told: Diagram, men: int, printed: Diagram, theirs: int) -> bool:
    """Tell whether words tell a position that is printed: they overlap, or have half of the men in common."""
    if printed.faults or (told.span.start < printed.span.end and printed.span.start < told.span.end):
        return True
    return 2 * (men & theirs).bit_count() >= min(len(told.pieces), len(printed.pieces))
