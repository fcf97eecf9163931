"""Boards copied, and moves made on the copies, in a part of the time that python-chess takes.

It first sets up a board of its own for a copy, and looks at each move for all that a move may be.
"""

import chess
from chess import _BoardState

_MEN = ("pawns", "knights", "bishops", "rooks", "queens", "kings", "promoted")
_TWO_RANKS = 16  # between the squares of a pawn's double step


def without_past(board: chess.Board) -> chess.Board:
    """Return a copy of a board without the moves that led to it, as `copy(stack=False)` does."""
    copied = chess.Board.__new__(chess.Board)
    copied.__dict__.update(board.__dict__)
    copied.occupied_co = [*board.occupied_co]
    copied.move_stack, copied._stack = [], []
    return copied


def after(board: chess.Board, move: chess.Move) -> chess.Board:
    """Return a copy of a board on which a legal move, or a pass, was made, as `push` does; its past is this move."""
    copied = without_past(board)
    start, to = move.from_square, move.to_square
    advances = board.pawns >> start & 1 and (start - to in (_TWO_RANKS, -_TWO_RANKS) or to == board.ep_square)
    if board.castling_rights or move.promotion or advances:
        copied.push(move)
        return copied
    copied.move_stack.append(move)
    copied._stack.append(_BoardState(board))
    copied.ep_square = None
    copied.halfmove_clock += 1
    copied.fullmove_number += not board.turn
    copied.turn = not board.turn
    if start != to:
        _moved(copied, start, to, board.turn)
    return copied


def _moved(board: chess.Board, start: chess.Square, to: chess.Square, side: chess.Color) -> None:
    """Move a man of a side, and take what stands where he goes."""
    from_bit, to_bit = 1 << start, 1 << to
    both = from_bit | to_bit
    if board.pawns & from_bit or board.occupied & to_bit:
        board.halfmove_clock = 0
    men = board.__dict__
    for kind in _MEN:
        squares = men[kind]
        if squares & both:
            men[kind] = squares & ~both | (to_bit if squares & from_bit else 0)
    board.occupied = board.occupied & ~from_bit | to_bit
    board.occupied_co[side] = board.occupied_co[side] & ~from_bit | to_bit
    board.occupied_co[not side] &= ~to_bit
