"""The position a command is given: a FEN, men in words or signs, or the puzzles of a file; and the play from it."""

import os
import re
from collections.abc import Iterator
from functools import partial

import chess
from keyproof.grammar.document import PuzzleText
from keyproof.grammar.fens import find_fens
from keyproof.grammar.letters import LANGUAGES
from keyproof.grammar.moves import NotAMove, letters_used, pick_language, read_move
from keyproof.grammar.sections import puzzle_texts
from keyproof.grammar.spans import Span, lines_of
from keyproof.grammar.statements import Break, Claim
from keyproof.rules.board.resolve import meant_moves
from keyproof.rules.board.stipulation import Stipulation
from keyproof.rules.case.asked import read_stipulation
from keyproof.rules.case.case import Case
from keyproof.rules.play.node import Node
from keyproof.rules.play.why import why_not
from msgspec import Struct

from .jobs import aside
from .manuscripts.model import Manuscript
from .options import Options
from .pipeline import cases_of, sections_of
from .sources import Unreadable, document_from_text, read

_NUMBER = re.compile(r"\d{1,3}\s?(?:\.{1,3}|…)")
_SIGNS = re.compile(r"[!?]+$")


class NotAPosition(ValueError):
    """What was given is no position or no stipulation; the message says why and what to do."""


class NothingRead(NotAPosition):
    """What was given does not begin like a position at all."""


class Asked(Struct, frozen=True):
    """A position and what is asked of it (None: nothing was said); `line` is None for a position that was typed in.

    `place` is where it stands in a manuscript, "paragraph 14".
    """

    board: chess.Board | None
    stipulation: Stipulation | None
    title: str = ""
    line: int | None = None
    path: str = ""
    error: str | None = None
    place: str | None = None

    @property
    def at(self) -> str:
        """Where it stands, as messages begin: "column.txt:12:1", "column.docx, paragraph 14"."""
        if self.line is None:
            return "keyproof"
        return f"{self.path}, {self.place}" if self.place else f"{self.path}:{self.line}:1"


def is_file(position: str) -> bool:
    """Tell whether the argument names a file rather than a position."""
    return os.path.exists(position)


def parse_stipulation(words: str) -> Stipulation:
    """Read a stipulation such as "#2" or "mate in two". NotAPosition says what is wrong with it."""
    try:
        return Stipulation.parse(words)
    except ValueError as error:
        told = None if "#" in words or "=" in words else read_stipulation(words)
        if told is not None:
            return told
        raise NotAPosition(f"{error}; or words such as 'mate in two'") from None


def asked_of(
    position: str, stipulation: Stipulation | None, effort: float, number: int | None = None
) -> Iterator[Asked]:
    """Yield the position that was typed in, or those of a file, or of these the one with a number, from 1.

    NotAPosition if the argument is neither. The stipulations of the text count unless one is given.
    """
    if not is_file(position):
        if (number or 1) > 1:
            raise NotAPosition(f"there is no puzzle number {number}: one position was given")
        yield typed(position, stipulation)
        return
    try:
        found = aside(partial(_of_file, position, stipulation, effort))
    except Unreadable as fault:
        yield Asked(None, None, line=fault.line, path=position, error=fault.message)
        return
    if number is None:
        yield from found
    elif number > len(found):
        raise NotAPosition(f"there is no puzzle number {number}: {len(found)} found in {position!r}")
    else:
        yield found[number - 1]


def _of_file(path: str, stipulation: Stipulation | None, effort: float) -> list[Asked]:
    document = read(path)
    found = []
    options = Options(effort=effort)
    sections, _ = sections_of(document, options)
    for case in cases_of(document, sections, options):
        board = case.reading.diagram.board if case.reading is not None else None
        error = None if board is not None else "no position that can be played from was found"
        start, place = case.puzzle.span.start, None
        line = lines_of(document.text).place(start)[0]
        if isinstance(document, Manuscript):
            line, place = document.lines.place(document.in_file(case.puzzle.span).start)[0], document.place(start)
        found.append(Asked(board, stipulation or case.stipulation, case.puzzle.title, line, path, error, place))
    return found


def typed(text: str, stipulation: Stipulation | None) -> Asked:
    """Return the position that was typed: a FEN, or as a column prints it, with a stipulation perhaps.

    NotAPosition says what is wrong with it.
    """
    turn = chess.WHITE if stipulation is None else stipulation.first_to_move
    try:
        return Asked(board_of(text, turn), stipulation)
    except NotAPosition as fault:
        case = _one_case(text)
        if case is None or not all(isinstance(each, Break | Claim) for each in case.statements):
            raise
        if case.board is None:
            wrong = "; ".join(_misprints(case))
            raise NotAPosition(wrong) if wrong and isinstance(fault, NothingRead) else fault from None
        board = case.board.copy(stack=False)
        if stipulation is not None and case.diagram is not None and case.diagram.turn is None:
            board.turn = stipulation.first_to_move
        return Asked(board, stipulation or case.stipulation)


def _one_case(text: str) -> Case | None:
    """Return the one puzzle of a text as a column prints it, None where there is none or another one too."""
    try:
        document = document_from_text("", text, "text")
    except Unreadable:
        return None
    cases = cases_of(document, puzzle_texts(document), Options())
    return cases[0] if len(cases) == 1 else None


def _misprints(case: Case) -> list[str]:
    """Return what is wrong with the men as they were listed."""
    return list(dict.fromkeys(fault.message for diagram in case.puzzle.diagrams for fault in diagram.faults))


def board_of(fen: str, turn: chess.Color) -> chess.Board:
    """Set up a FEN under the composition conventions; `turn` is the side to move where it does not say.

    NotAPosition if the text is no FEN.
    """
    diagrams = list(find_fens(fen))
    if not diagrams:
        raise NothingRead(f"neither a file nor a position: {fen!r}")
    diagram = diagrams[0]
    if diagram.faults:
        raise NotAPosition(f"not a FEN: {diagram.faults[0].message}")
    if len(diagrams) > 1 or diagram.span.of(fen) != fen.strip():
        raise NotAPosition(f"more than a position: {fen!r}; put several positions in a file")
    board = Case(fen, fen, PuzzleText("", Span(0, len(fen)), (diagram,), ()), as_stated=True).board
    assert board is not None
    if diagram.turn is None:
        board.turn = turn
    return board


def played(board: chess.Board, line: str) -> chess.Board:
    """Return the position after a line of play such as "1.Kg2 Kh4 2.Re4#".

    Numbers may be left out. NotAPosition names the first move that cannot be played, and why.
    """
    words = _NUMBER.sub(" ", line).split()
    language = pick_language({letter for word in words for letter in _letters(word)})
    node = Node(board.copy(stack=False), shift=int(board.turn == chess.BLACK))
    for word in words:
        try:
            phrase = read_move(_SIGNS.sub("", word), letters=LANGUAGES[language])
        except NotAMove:
            raise NotAPosition(f"{word!r} is not a printed move") from None
        moves = meant_moves(node.board, phrase)
        if not moves:
            raise NotAPosition(f"{node.number}{word} cannot be played: {why_not(node, phrase).message}")
        if len(moves) > 1:
            several = ", ".join(node.board.san(move) for move in moves)
            raise NotAPosition(f"{node.number}{word} may be any of {several}")
        node = node.play(moves[0])
    return node.board


def _letters(word: str) -> set[str]:
    try:
        read_move(_SIGNS.sub("", word))
    except NotAMove:
        return set()
    return letters_used(_SIGNS.sub("", word))
