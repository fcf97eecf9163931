"""What `keyproof prove` is asked: one position, or every puzzle of a file, and the proof of each."""

import os
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial

import chess
from keyproof.grammar.document import PuzzleText
from keyproof.grammar.fens import find_fens
from keyproof.grammar.spans import Span
from keyproof.rules.board.playable import too_many
from keyproof.rules.board.stipulation import Stipulation
from keyproof.rules.case.case import Case
from keyproof.rules.proof import prover
from keyproof.rules.proof.proof import Proof

from .jobs import aside, guarded
from .options import Options


class NotAPosition(ValueError):
    """What was given is no position or no stipulation; the message says why and what to do."""


@dataclass(frozen=True)
class Proved:
    """One puzzle and its proof, or the reason why there is none. `line` is None for a position that was typed in."""

    line: int | None = None
    title: str = ""
    proof: Proof | None = None
    error: str | None = None


def is_file(position: str) -> bool:
    """Tell whether the argument names a file rather than a position."""
    return os.path.exists(position)


def parse_stipulation(symbol: str) -> Stipulation:
    """Read a stipulation such as "#2". NotAPosition says what is wrong with it."""
    try:
        return Stipulation.parse(symbol)
    except ValueError as error:
        raise NotAPosition(str(error)) from None


def prove_fen(fen: str, stipulation: Stipulation | None, effort: float) -> Proved:
    """Prove a position given as a FEN, which may stop after any field. NotAPosition says what is wrong with it."""
    if stipulation is None:
        board_of(fen, chess.WHITE)
        raise NotAPosition("a FEN does not say what is asked: add --stipulation, for example --stipulation '#2'")
    board = board_of(fen, stipulation.first_to_move)
    try:
        return Proved(proof=_prove(board, stipulation, effort))
    except ValueError as error:
        raise NotAPosition(str(error)) from None


def board_of(fen: str, turn: chess.Color) -> chess.Board:
    """Set up a FEN under the composition conventions; `turn` is the side to move where it does not say.

    NotAPosition if the text is no FEN.
    """
    diagrams = list(find_fens(fen))
    if not diagrams:
        raise NotAPosition(f"neither a file nor a FEN: {fen!r}")
    diagram = diagrams[0]
    if diagram.faults:
        raise NotAPosition(f"not a FEN: {diagram.faults[0].message}")
    if len(diagrams) > 1 or diagram.span.of(fen) != fen.strip():
        raise NotAPosition(f"more than a FEN: {fen!r}; put several positions in a file")
    board = Case(fen, fen, PuzzleText("", Span(0, len(fen)), (diagram,), ()), as_stated=True).board
    assert board is not None
    if diagram.turn is None:
        board.turn = turn
    return board


def prove_file(path: str, stipulation: Stipulation | None, effort: float) -> Iterator[Proved]:
    """Prove every puzzle of a file, under `stipulation` where one is given and else under its own."""
    result = aside(partial(guarded, path, Options(effort=effort)))
    if result.error is not None:
        yield Proved(error=result.error, line=result.error_line)
    for puzzle in result.puzzles:
        asked = stipulation or (Stipulation.parse(puzzle.stipulation) if puzzle.stipulation else None)
        if puzzle.fen is None:
            yield Proved(puzzle.line, puzzle.title, error="no position that can be played from was found")
        elif asked is None:
            yield Proved(puzzle.line, puzzle.title, error="no stipulation was found: add --stipulation")
        else:
            try:
                proof = _prove(chess.Board(puzzle.fen), asked, effort)
            except ValueError as error:
                yield Proved(puzzle.line, puzzle.title, error=str(error))
            else:
                yield Proved(puzzle.line, puzzle.title, proof)


def _prove(board: chess.Board, stipulation: Stipulation, effort: float) -> Proof:
    """Prove a position. One with more men than a game leaves is impossible, whatever can be played from it."""
    proof = aside(partial(prover.prove, board, stipulation, effort=effort))
    return replace(proof, verdict="impossible") if any(True for _ in too_many(board)) else proof
