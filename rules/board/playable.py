"""Which positions can be played from, and with which castling rights."""

from functools import reduce
from operator import or_

import chess

_FAULTS = (
    (chess.STATUS_NO_WHITE_KING, "there is no white king"),
    (chess.STATUS_NO_BLACK_KING, "there is no black king"),
    (chess.STATUS_TOO_MANY_KINGS, "a side has more than one king"),
    (chess.STATUS_PAWNS_ON_BACKRANK, "a pawn stands on the first or eighth rank"),
    (chess.STATUS_INVALID_EP_SQUARE, "no pawn can have made a double step over the en passant square"),
    (chess.STATUS_OPPOSITE_CHECK, "the side that is not to move is in check"),
)
_ANY_FAULT = reduce(or_, (fault for fault, _ in _FAULTS))


def check_playable(board: chess.Board) -> None:
    """Raise ValueError if the board cannot be played from, saying why.

    Positions that no game can reach pass: many checkers and promoted men are the trade's daily bread.
    """
    status = board.status()
    if status & _ANY_FAULT:
        reason = next(reason for fault, reason in _FAULTS if status & fault)
        raise ValueError(f"the position cannot be played: {reason} ({board.fen()})")
    if board.castling_rights and board.clean_castling_rights() != clean(board).castling_rights:
        raise ValueError(
            "the position cannot be played: kings and rooks castle only from their squares in the start array "
            f"({board.fen()})"
        )


def clean(board: chess.Board) -> chess.Board:
    """Return a copy of the board with the castling rights that kings and rooks at home leave."""
    board = board.copy(stack=False)
    board.chess960 = False
    board.castling_rights = board.clean_castling_rights()
    return board
