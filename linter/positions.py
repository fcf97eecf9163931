"""The position a command is given: a FEN, or the puzzles of a file; and the play from it."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

import chess
from keyproof.grammar.letters import LANGUAGES
from keyproof.grammar.moves import NotAMove, letters_used, pick_language, read_move
from keyproof.rules.board.resolve import meant_moves
from keyproof.rules.board.stipulation import Stipulation
from keyproof.rules.play.node import Node
from keyproof.rules.play.why import why_not

from .jobs import aside, guarded
from .options import Options
from .prove import NotAPosition, board_of, is_file

_NUMBER = re.compile(r"\d{1,3}\s?(?:\.{1,3}|…)")
_SIGNS = re.compile(r"[!?]+$")


@dataclass(frozen=True)
class Asked:
    """A position and what is asked of it (None: nothing was said); `line` is None for a position that was typed in."""

    board: chess.Board | None
    stipulation: Stipulation | None
    title: str = ""
    line: int | None = None
    path: str = ""
    error: str | None = None


def asked_of(position: str, stipulation: Stipulation | None, effort: float) -> Iterator[Asked]:
    """Yield the position of a FEN, or those of a file. NotAPosition if the argument is neither.

    A file's own stipulations count unless one is given.
    """
    if not is_file(position):
        turn = chess.WHITE if stipulation is None else stipulation.first_to_move
        yield Asked(board_of(position, turn), stipulation)
        return
    result = aside(partial(guarded, position, Options(effort=effort)))
    if result.error is not None:
        yield Asked(None, None, line=result.error_line, path=position, error=result.error)
    for puzzle in result.puzzles:
        own = Stipulation.parse(puzzle.stipulation) if puzzle.stipulation else None
        board = chess.Board(puzzle.fen) if puzzle.fen is not None else None
        error = "no position that can be played from was found" if board is None else None
        yield Asked(board, stipulation or own, puzzle.title, puzzle.line, position, error)


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
