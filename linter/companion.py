"""The file beside a talk: a recording or a script tells the solutions, the positions stand elsewhere."""

import os
from functools import lru_cache

from keyproof.grammar.document import Diagram, Document
from keyproof.grammar.positions import find_diagrams
from keyproof.grammar.sections import Sections, puzzle_texts
from keyproof.grammar.spans import Span
from keyproof.grammar.talks import Position, borrowing
from keyproof.rules.case.case import Case
from msgspec.structs import replace

from .kinds import KINDS
from .results import Remark
from .sources import Unreadable, read


class NoPositions(Exception):
    """The file that should hold the positions of a talk cannot be read or holds none; the message says which."""


def positions_of(path: str) -> tuple[Position, ...]:
    """Return the positions of a file of any known kind, with their titles and stipulations. Raises NoPositions."""
    try:
        changed = os.stat(path).st_mtime_ns
    except OSError:
        changed = 0
    return _positions_of(path, os.path.abspath(path), changed)


@lru_cache(maxsize=64)
def _positions_of(path: str, place: str, changed: int) -> tuple[Position, ...]:
    """Read the positions of a file; `place` and the time of its last change tell it from others of its name."""
    try:
        document = read(path)
    except Unreadable as fault:
        raise NoPositions(f"the positions cannot be read: {fault}") from None
    sections = puzzle_texts(document)
    shared = (*sections.headings, *sections.loose)
    cases = [Case(document.text, document.masked, puzzle, shared) for puzzle in sections.puzzles]
    found = [_position(case) for case in cases if case.puzzle.diagrams]
    if not found:
        raise NoPositions(f"{path} holds no position")
    return tuple(found)


def _position(case: Case) -> Position:
    asked = case.stated.symbol if case.stated is not None else ""
    diagram = case.diagram or case.puzzle.diagrams[0]
    title = f"{case.puzzle.title} {case.puzzle.label}".strip()
    return Position(title, _with_turn(diagram, case), asked)


def _with_turn(diagram: Diagram, case: Case) -> Diagram:
    """Return a diagram with the side to move that its own file says in words."""
    return replace(diagram, turn=case.board.turn) if case.board is not None else diagram


def named(document: Document, asked: str | None) -> str | None:
    """Return the file that holds the positions of a document: the one asked for, or the one named after it.

    Beside "talk.vtt" that is "talk.positions.md", or another kind of text; a position shown in the talk itself
    goes before it.
    """
    if asked is not None:
        return asked
    found = beside(document.path)  # most texts have none: looked for first
    return None if found is None or document.puzzles or find_diagrams(document) else found


def beside(path: str) -> str | None:
    """Return the file of positions that is named after a talk, None where there is none."""
    stem = os.path.splitext(path)[0]
    names = (f"{stem}.positions{suffix}" for suffix in KINDS)
    return next((name for name in names if os.path.isfile(name)), None)


def sections_of(document: Document, companion: str | None) -> tuple[Sections, list[Remark]]:
    """Part a document into puzzles; if it shows no position of its own, those of the companion are meant."""
    if companion is None:
        return puzzle_texts(document), []
    if document.puzzles or find_diagrams(document):
        remarks = []
        if not (os.path.exists(document.path) and os.path.samefile(document.path, companion)):
            message = f"the positions are those printed here: {companion} is not used"
            remarks.append(Remark(Span(0, 0), message))
        return puzzle_texts(document), remarks
    sections, faults = borrowing(document, positions_of(companion), companion)
    return sections, [Remark(fault.span, fault.message) for fault in faults]


def contradictions(cases: list[Case], companion: str | None) -> list[Remark]:
    """Say where a talk asks for something else than the file of its positions."""
    found = []
    for case in cases:
        claim, asked = case.stipulation_claim, case.puzzle.asked
        if claim is not None and asked and case.stated is not None and case.stated.symbol != asked:
            message = f"the talk asks for {case.stated}, {companion} for {asked}"
            found.append(Remark(claim.span, message))
    return found
