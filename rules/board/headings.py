"""Where a move leads, told by a direction or a part of the board: "up", "to the left", "back", "into the corner"."""

from __future__ import annotations

from collections.abc import Sequence

import chess

_EDGES = chess.BB_FILE_A | chess.BB_FILE_H | chess.BB_BACKRANKS


def heads(board: chess.Board, move: chess.Move, heading: str) -> bool:
    """Tell whether a legal move goes where a word says it does.

    `heading` is "up", "down", "left" or "right" as White sees the board, which a pawn's step takes no heed of;
    "corner" or "edge" for where it ends. Any other word says no more than that a man moves; of "forward" and
    "back", which are said loosely, see `likeliest`.
    """
    ranks = chess.square_rank(move.to_square) - chess.square_rank(move.from_square)
    files = chess.square_file(move.to_square) - chess.square_file(move.from_square)
    kind = board.piece_type_at(move.from_square)
    pawn, level = kind == chess.PAWN, not ranks or kind in (chess.PAWN, chess.KNIGHT, chess.BISHOP)
    if heading == "up":
        return ranks > 0 or pawn
    if heading == "down":
        return ranks < 0 or pawn
    if heading == "left":
        return files < 0 and level
    if heading == "right":
        return files > 0 and level
    if heading == "corner":
        return bool(chess.BB_SQUARES[move.to_square] & chess.BB_CORNERS)
    if heading == "edge":
        return bool(chess.BB_SQUARES[move.to_square] & _EDGES)
    return True


def likeliest(board: chess.Board, moves: list[chess.Move], headings: Sequence[str]) -> list[chess.Move]:
    """Return the moves that lead "forward" or "back" as their side sees the board, or to where a man came from.

    Where none does, all of them are returned: both are said of any move.
    """
    for heading, way in (("forward", 1), ("back", -1)):
        if heading in headings:
            kept = [move for move in moves if way * _onward(board, move) > 0 or (way < 0 and _returns(board, move))]
            moves = kept or moves
    return moves


def _onward(board: chess.Board, move: chess.Move) -> int:
    ranks = chess.square_rank(move.to_square) - chess.square_rank(move.from_square)
    return ranks if board.turn else -ranks


def _returns(board: chess.Board, move: chess.Move) -> bool:
    """Tell whether a man goes back to where it came from with the last move of its side."""
    if len(board.move_stack) < 2:
        return False
    before = board.move_stack[-2]
    return before.to_square == move.from_square and before.from_square == move.to_square
