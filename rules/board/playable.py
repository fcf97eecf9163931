"""Which positions can be played from, and with which castling rights."""

from collections.abc import Iterator
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


def too_many(board: chess.Board) -> Iterator[str]:
    """Yield why no game can have left so many men on the board (FIDE Laws 3.7.3.3: a promoted man costs a pawn)."""
    for colour in chess.COLORS:
        owner = "White" if colour else "Black"
        men = board.occupied_co[colour].bit_count()
        if men > 16:
            yield f"{owner} has {men} men; 16 is the most (the caption of the initial array)"
            continue
        pawns_left = len(board.pieces(chess.PAWN, colour))
        promoted = _promoted(board, colour)
        if pawns_left > 8:
            yield f"{owner} has {pawns_left} pawns; 8 is the most"
        elif pawns_left + promoted > 8:
            message = (
                f"{owner} has {pawns_left} pawns and at least {promoted} promoted "
                f"{'man' if promoted == 1 else 'men'}: together more than 8"
            )
            yield message


def _promoted(board: chess.Board, colour: chess.Color) -> int:
    """Return how many men of a side must have been promoted."""
    extra = max(0, len(board.pieces(chess.QUEEN, colour)) - 1)
    extra += max(0, len(board.pieces(chess.ROOK, colour)) - 2)
    extra += max(0, len(board.pieces(chess.KNIGHT, colour)) - 2)
    bishops = board.pieces(chess.BISHOP, colour)
    for shade in (chess.BB_LIGHT_SQUARES, chess.BB_DARK_SQUARES):
        extra += max(0, len(bishops & shade) - 1)
    return extra
