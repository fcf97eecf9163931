"""Lines of play with their move numbers, as a column prints them."""

from collections.abc import Callable, Sequence

import chess
from keyproof.rules.finding import Evidence
from keyproof.rules.play.node import PASS, numbered

from ..results import PuzzleResult


def listed(sans: Sequence[str], first: int = 0) -> str:
    """Join moves of one position to "1...Kd5, Kc4"."""
    return f"{first // 2 + 1}.{'..' if first % 2 else ''}{', '.join(sans)}"


def opening_ply(turn: chess.Color, symbol: str | None) -> int:
    """Return the number, as `numbered` counts, of the first move from a diagram.

    Help play is numbered by its pairs of a black and a white move, so Black begins with
    "1." and White, in help play of half a move more, with "1...". Elsewhere White's
    move has the number and Black begins with "1...".
    """
    help_play = symbol is not None and symbol.startswith("h")
    return int(turn == (chess.WHITE if help_play else chess.BLACK))


def evidence_ply(evidence: Evidence, puzzle: PuzzleResult | None) -> int:
    """Return the number, as `numbered` counts, of the first move of some evidence.

    The evidence of a puzzle starts in the diagram or in a position that follows from it. Its own
    `shift` goes before what the position and the stipulation say.
    """
    if evidence.shift is not None:
        return evidence.shift
    turn, number = _clock(evidence.fen)
    if puzzle is None or puzzle.fen is None:
        return opening_ply(turn, None)
    diagram_turn, diagram_number = _clock(puzzle.fen)
    opening = opening_ply(diagram_turn, puzzle.stipulation)
    played = 2 * (number - diagram_number) + int(diagram_turn) - int(turn)
    if played < 0:
        return opening if turn == diagram_turn else 1 - opening
    return opening + played


def shown(evidence: Evidence, puzzle: PuzzleResult | None, letters: Callable[[str], str] = str) -> str:
    """Return evidence with its numbers: "play: 1.Nf4 Kd5 2.Qb6+", "moves: 1...Kd5, Kc4".

    `letters` puts SAN in the letters of the author.
    """
    first = evidence_ply(evidence, puzzle)
    said = [letters(san).replace("--", PASS) for san in evidence.moves]
    return f"play: {numbered(said, first)}" if evidence.kind == "line" else f"moves: {listed(said, first)}"


def _clock(fen: str) -> tuple[chess.Color, int]:
    """Return side to move and move number of a FEN."""
    fields = fen.split()
    return fields[1] == "w", int(fields[5]) if len(fields) == 6 else 1
