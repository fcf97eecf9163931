"""Castling rights and en passant captures as the diagram alone decides them (WFCC Codex 16).

16(1): castling is allowed unless it can be proved impossible. 16(2): a first move may
capture en passant only if it can be proved that the last move was that double step.
16(3): rights that exclude one another.
"""

from collections.abc import Iterator
from functools import lru_cache
from itertools import combinations

import chess
from msgspec import Struct

from ..board.fens import placement
from ..board.names import side
from .men import homes
from .moves import LastMove
from .past import contradiction, last_moves


class Right(Struct, frozen=True, order=True):
    """One castling, by the square of its rook."""

    rook: chess.Square

    @property
    def colour(self) -> chess.Color:
        """Return the side that castles."""
        return chess.square_rank(self.rook) == 0

    @property
    def wing(self) -> str:
        """Return "short" or "long"."""
        return "short" if chess.square_file(self.rook) == 7 else "long"

    @property
    def unmoved(self) -> chess.Bitboard:
        """Return the squares of the king and the rook."""
        return chess.BB_SQUARES[self.rook] | chess.BB_SQUARES[homes(chess.KING, self.colour)[0]]

    @property
    def where(self) -> str:
        """Return "kingside" or "queenside"."""
        return "kingside" if self.wing == "short" else "queenside"

    def may(self, how: str = "may") -> str:
        """Say that the side may castle so: "Black may castle queenside", with another verb as given."""
        return f"{side(self.colour)} {how} castle {self.where}"


class Rights(Struct, frozen=True):
    """What the diagram proves of its castling rights.

    `lost`: rights that cannot be there, with the reason, a clause that holds on the supposition
    that king and rook never moved. `exclusive`: pairs that cannot both be there, with the
    reason on the supposition that none of the four has moved.
    """

    lost: dict[Right, str]
    exclusive: tuple[tuple[Right, Right, str], ...]


def at_home(board: chess.Board) -> list[Right]:
    """Return the castlings whose king and rook stand on their first squares."""
    found: list[Right] = []
    for colour in chess.COLORS:
        if board.king(colour) != homes(chess.KING, colour)[0]:
            continue
        rooks = board.pieces_mask(chess.ROOK, colour)
        found.extend(Right(corner) for corner in homes(chess.ROOK, colour) if rooks & chess.BB_SQUARES[corner])
    return found


def judge(board: chess.Board) -> Rights:
    """Judge the castling rights of a diagram: what is not proved lost is there by convention."""
    return _judge(placement(board), board.turn) if at_home(board) else Rights({}, ())


@lru_cache(maxsize=256)
def _judge(placement: str, turn: chess.Color) -> Rights:
    board = chess.Board(f"{placement} {'w' if turn else 'b'} - - 0 1")
    candidates = at_home(board)
    # A position that cannot come about at all proves nothing about castling.
    if contradiction(board) is not None:
        return Rights({}, ())
    lost: dict[Right, str] = {}
    for right in candidates:
        found = contradiction(board, right.unmoved)
        if found is not None:
            lost[right] = found.reason
    exclusive = []
    for first, second in combinations([right for right in candidates if right not in lost], 2):
        found = contradiction(board, first.unmoved | second.unmoved)
        if found is not None:
            exclusive.append((first, second, found.reason))
    return Rights(lost, tuple(exclusive))


class EnPassant(Struct, frozen=True):
    """What the diagram proves of a capture en passant on `square`.

    `proved`: the double step was the only last move possible. `others`: last moves that the
    diagram allows as well, likely ones first. `impossible`: the double step itself cannot have been
    the last move. `given`: castling rights that, supposed to be there, would prove the double step (16(3)).
    """

    square: chess.Square
    step: LastMove
    proved: bool
    impossible: bool
    others: tuple[LastMove, ...]
    given: tuple[Right, ...] = ()


def en_passant_squares(board: chess.Board) -> Iterator[chess.Square]:
    """Yield the squares on which the side to move would capture en passant if a double step came last."""
    colour = board.turn
    rank = 5 if colour == chess.WHITE else 2
    for file in range(8):
        square = chess.square(file, rank)
        passed, start = (square - 8, square + 8) if colour == chess.WHITE else (square + 8, square - 8)
        if board.piece_at(square) or board.piece_at(start):
            continue
        takers = chess.BB_PAWN_ATTACKS[not colour][square] & board.pieces_mask(chess.PAWN, colour)
        if takers and board.piece_at(passed) == chess.Piece(chess.PAWN, not colour):
            yield square


def en_passant(board: chess.Board, square: chess.Square) -> EnPassant:
    """Judge a capture en passant on `square`, one of `en_passant_squares`."""
    back = 8 if board.turn == chess.WHITE else -8
    step = LastMove(not board.turn, chess.PAWN, square + back, square - back)
    found = last_moves(board)
    others = tuple(last for last in found.moves if last != step)
    possible = step in found.moves
    proved = possible and not others and found.complete
    given: tuple[Right, ...] = ()
    if possible and not proved:
        lost = judge(board).lost
        kept = [right for right in at_home(board) if right not in lost]
        given = tuple(
            right for right in kept if (under := last_moves(board, right.unmoved)).complete and under.moves == (step,)
        )
    return EnPassant(square, step, proved, not possible, others, given)
