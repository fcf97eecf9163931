"""The last move: every move by which a position can have come about, taken back.

Taking back puts the man where it came from and, after a capture, an enemy man in its
place; a promoted piece becomes a pawn again. What is left is tested: the earlier position
must be one in which that move could be played, and must itself have a past.
"""

from collections.abc import Iterator

import chess
from msgspec import Struct

from ..board.copying import without_past
from ..board.names import name

_BACK_RANKS = chess.BB_RANK_1 | chess.BB_RANK_8


class LastMove(Struct, frozen=True):
    """A move that led to a position: `piece` is the man before promotion, `captured` what was taken."""

    colour: chess.Color
    piece: chess.PieceType
    origin: chess.Square
    target: chess.Square
    captured: chess.PieceType | None = None
    promotion: chess.PieceType | None = None
    en_passant: bool = False
    castling: bool = False

    @property
    def double_step(self) -> bool:
        """True for a pawn's first move of two squares."""
        return self.piece == chess.PAWN and abs(self.origin - self.target) == 16

    def __str__(self) -> str:
        """Return the move with both squares and, after a capture, the man that was taken: "Kd8xNe8", "a7-a5"."""
        if self.castling:
            return "0-0" if self.target > self.origin else "0-0-0"
        letter = "" if self.piece == chess.PAWN else chess.piece_symbol(self.piece).upper()
        taken = ""
        if self.captured is not None and not self.en_passant:
            taken = chess.piece_symbol(self.captured).upper()
        sign = "-" if self.captured is None else "x"
        end = f"={chess.piece_symbol(self.promotion).upper()}" if self.promotion else ""
        end += " e.p." if self.en_passant else ""
        return f"{letter}{name(self.origin)}{sign}{taken}{name(self.target)}{end}"


def before(board: chess.Board, last: LastMove) -> chess.Board:
    """Return the position before `last`, which led to `board`; castling and en passant fields are empty."""
    earlier = without_past(board)
    earlier.turn = last.colour
    earlier.castling_rights = chess.BB_EMPTY
    earlier.ep_square = None
    chess.BaseBoard.remove_piece_at(earlier, last.target)  # that of a board with a stack clears this too
    if last.castling:
        short = last.target > last.origin
        earlier.remove_piece_at(last.target + (-1 if short else 1))
        earlier.set_piece_at(last.target + (1 if short else -2), chess.Piece(chess.ROOK, last.colour))
    if last.captured is not None:
        taken_on = last.target
        if last.en_passant:
            taken_on += -8 if last.colour == chess.WHITE else 8
        earlier.set_piece_at(taken_on, chess.Piece(last.captured, not last.colour))
    chess.BaseBoard.set_piece_at(earlier, last.origin, chess.Piece(last.piece, last.colour))
    return earlier


def retractions(board: chess.Board, unmoved: chess.Bitboard = chess.BB_EMPTY) -> Iterator[LastMove]:
    """Yield every move of the side not to move that the men alone allow, likely ones first.

    Men on `unmoved` squares moved never.
    """
    colour = not board.turn
    empty = ~board.occupied & chess.BB_ALL
    movable = board.occupied_co[colour] & ~unmoved
    captures: list[LastMove] = []
    for target in chess.scan_forward(movable):
        piece = board.piece_type_at(target)
        assert piece is not None
        if piece == chess.PAWN:
            yield from _pawn(board, colour, target, empty, captures)
            continue
        for origin in chess.scan_forward(board.attacks_mask(target) & empty):
            yield LastMove(colour, piece, origin, target)
            captures.extend(LastMove(colour, piece, origin, target, taken) for taken in _taken(target))
        if piece == chess.KING:
            yield from _castling(board, colour, target)
        else:
            yield from _promotion(board, colour, target, piece, empty, captures)
    yield from captures


def _taken(square: chess.Square) -> tuple[chess.PieceType, ...]:
    """Return the men that can have been captured on a square."""
    if chess.BB_SQUARES[square] & _BACK_RANKS:
        return (chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT)
    return (chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT, chess.PAWN)


def _pawn(
    board: chess.Board, colour: chess.Color, target: chess.Square, empty: chess.Bitboard, captures: list[LastMove]
) -> Iterator[LastMove]:
    step = 8 if colour == chess.WHITE else -8
    rank = chess.square_rank(target) if colour == chess.WHITE else 7 - chess.square_rank(target)
    if rank < 2:
        return
    behind = target - step
    if empty & chess.BB_SQUARES[behind]:
        yield LastMove(colour, chess.PAWN, behind, target)
        if rank == 3 and empty & chess.BB_SQUARES[behind - step]:
            yield LastMove(colour, chess.PAWN, behind - step, target)
    for origin in chess.scan_forward(chess.BB_PAWN_ATTACKS[not colour][target] & empty):
        captures.extend(LastMove(colour, chess.PAWN, origin, target, taken) for taken in _taken(target))
        # The pawn taken in passing stood beside the origin and had come from the square beyond the target.
        passed, start = target - step, target + step
        if rank == 5 and empty & chess.BB_SQUARES[passed] and empty & chess.BB_SQUARES[start]:
            captures.append(LastMove(colour, chess.PAWN, origin, target, chess.PAWN, en_passant=True))


def _promotion(
    board: chess.Board,
    colour: chess.Color,
    target: chess.Square,
    piece: chess.PieceType,
    empty: chess.Bitboard,
    captures: list[LastMove],
) -> Iterator[LastMove]:
    if chess.square_rank(target) != (7 if colour == chess.WHITE else 0):
        return
    behind = target + (-8 if colour == chess.WHITE else 8)
    if empty & chess.BB_SQUARES[behind]:
        yield LastMove(colour, chess.PAWN, behind, target, promotion=piece)
    for origin in chess.scan_forward(chess.BB_PAWN_ATTACKS[not colour][target] & empty):
        captures.extend(LastMove(colour, chess.PAWN, origin, target, taken, piece) for taken in _taken(target))


def _castling(board: chess.Board, colour: chess.Color, king: chess.Square) -> Iterator[LastMove]:
    rank = 0 if colour == chess.WHITE else 7
    home = chess.square(4, rank)
    rook = chess.Piece(chess.ROOK, colour)
    for file, corner, beside in ((6, 7, 5), (2, 0, 3)):
        target = chess.square(file, rank)
        if king != target or board.piece_at(chess.square(beside, rank)) != rook:
            continue
        free = [home, chess.square(corner, rank)] + ([chess.square(1, rank)] if corner == 0 else [])
        if not any(board.piece_at(square) for square in free):
            yield LastMove(colour, chess.KING, home, target, castling=True)


def plausible(earlier: chess.Board, last: LastMove) -> bool:
    """Tell whether `last` can be played in `earlier`, which `before` returned, with no more men than there can be.

    The king of the side that did not move must not be open to capture; a king that castled
    was not in check and crossed no attacked square (FIDE Laws 3.8.2.2, 3.9.2).
    """
    colour = last.colour
    enemy_king = earlier.king(not colour)
    if enemy_king is None or earlier.attackers_mask(colour, enemy_king):
        return False
    if last.castling:
        crossed = range(min(last.origin, last.target), max(last.origin, last.target) + 1)
        if any(earlier.attackers_mask(not colour, square) for square in crossed):
            return False
    return not ((last.captured or last.promotion) and overfull(earlier))


def overfull(board: chess.Board) -> bool:
    """Tell whether a side has more men than sixteen, or more pawns and promoted men than eight."""
    for colour in chess.COLORS:
        own = board.occupied_co[colour]
        bishops = board.bishops & own
        promoted = (
            max(0, (board.queens & own).bit_count() - 1)
            + max(0, (board.rooks & own).bit_count() - 2)
            + max(0, (board.knights & own).bit_count() - 2)
            + max(0, (bishops & chess.BB_LIGHT_SQUARES).bit_count() - 1)
            + max(0, (bishops & chess.BB_DARK_SQUARES).bit_count() - 1)
        )
        if own.bit_count() > 16 or (board.pawns & own).bit_count() + promoted > 8:
            return True
    return False


def unmoved_before(last: LastMove, unmoved: chess.Bitboard) -> chess.Bitboard:
    """Return the men known never to have moved before `last`: castling vouches for king and rook."""
    if not last.castling:
        return unmoved
    rank = 0 if last.colour == chess.WHITE else 7
    corner = chess.square(7 if last.target > last.origin else 0, rank)
    return unmoved | chess.BB_SQUARES[last.origin] | chess.BB_SQUARES[corner]


def double_step_before(last: LastMove) -> LastMove:
    """Return the double step that must have come before a capture en passant."""
    step = 8 if last.colour == chess.WHITE else -8
    return LastMove(not last.colour, chess.PAWN, last.target + step, last.target - step)
