"""Who stands where, who is missing, and which men never moved."""

from functools import cached_property, lru_cache

import chess
from msgspec import Struct

HOMES: dict[chess.PieceType, tuple[chess.Square, ...]] = {
    chess.KNIGHT: (chess.B1, chess.G1),
    chess.BISHOP: (chess.C1, chess.F1),
    chess.ROOK: (chess.A1, chess.H1),
    chess.QUEEN: (chess.D1,),
    chess.KING: (chess.E1,),
}
_HOME_RANK = {chess.WHITE: chess.BB_RANK_1, chess.BLACK: chess.BB_RANK_8}
_PAWN_RANK = {chess.WHITE: chess.BB_RANK_2, chess.BLACK: chess.BB_RANK_7}


def homes(kind: chess.PieceType, colour: chess.Color) -> tuple[chess.Square, ...]:
    """Return the squares on which pieces of a kind stand in the initial array."""
    return HOMES[kind] if colour == chess.WHITE else tuple(chess.square_mirror(square) for square in HOMES[kind])


class Men(Struct, frozen=True, eq=False, dict=True):
    """The men of a board, with those that are supposed never to have moved.

    `unmoved` are squares of kings and rooks at home that are taken to have stood there
    from the first move (a castling right says so); what follows holds under that supposition.
    """

    board: chess.Board
    unmoved: chess.Bitboard = chess.BB_EMPTY

    def of(self, kind: chess.PieceType, colour: chess.Color) -> chess.Bitboard:
        """Return the squares of the men of a kind and colour."""
        return self.board.pieces_mask(kind, colour)

    def missing(self, colour: chess.Color) -> int:
        """Return how many of the sixteen men of a side are gone; each was captured."""
        return 16 - self.board.occupied_co[colour].bit_count()

    @cached_property
    def fixed(self) -> chess.Bitboard:
        """The squares whose men have stood there since the first move.

        A pawn on its first rank is one, and so is a piece on its own first rank all of whose
        ways out are closed by such men: nothing can have come in there either.
        """
        board = self.board
        fixed = self.unmoved | board.pawns & (
            board.occupied_co[chess.WHITE] & chess.BB_RANK_2 | board.occupied_co[chess.BLACK] & chess.BB_RANK_7
        )
        waiting = [
            (square, kind)
            for colour in chess.COLORS
            for square in chess.scan_forward(board.occupied_co[colour] & _HOME_RANK[colour] & ~fixed)
            if (kind := board.piece_type_at(square)) is not None and square in homes(kind, colour)
        ]
        while True:
            shut = [entry for entry in waiting if not _steps(entry[1], chess.BB_SQUARES[entry[0]]) & ~fixed]
            if not shut:
                return fixed
            for entry in shut:
                fixed |= chess.BB_SQUARES[entry[0]]
                waiting.remove(entry)

    def reach(self, kind: chess.PieceType, colour: chess.Color, starts: chess.Bitboard) -> chess.Bitboard:
        """Return every square that a piece could come to from `starts`, the fixed men being its only obstacles."""
        guarded = self._guarded(not colour) if kind == chess.KING else chess.BB_EMPTY
        return _flood(kind, starts, self.fixed, guarded)

    def _guarded(self, colour: chess.Color) -> chess.Bitboard:
        """Return the squares that fixed pawns and a fixed king of a side have guarded all along."""
        guarded = chess.BB_EMPTY
        own = self.fixed & self.board.occupied_co[colour]
        for square in chess.scan_forward(own & self.board.pawns):
            guarded |= chess.BB_PAWN_ATTACKS[colour][square]
        for square in chess.scan_forward(own & self.board.kings):
            guarded |= chess.BB_KING_ATTACKS[square]
        return guarded

    def promotion_squares(self, colour: chess.Color) -> chess.Bitboard:
        """Return the squares on which pawns of a side can have been promoted.

        A pawn that came beside an unmoved king gave check; the king stayed, so the pawn was
        captured and not promoted. Fixed men let nobody pass.
        """
        rank = 6 if colour == chess.WHITE else 1
        step = 8 if colour == chess.WHITE else -8
        enemy_king = self.board.king(not colour)
        still = self.fixed & self.board.kings & self.board.occupied_co[not colour]
        found = chess.BB_EMPTY
        for file in range(8):
            square = chess.square(file, rank)
            attacks = chess.BB_PAWN_ATTACKS[colour][square]
            if self.fixed & chess.BB_SQUARES[square]:
                continue
            if still and enemy_king is not None and attacks & chess.BB_SQUARES[enemy_king]:
                continue
            found |= (attacks | chess.BB_SQUARES[square + step]) & ~self.fixed
        return found

    def pawn_rank(self, colour: chess.Color) -> chess.Bitboard:
        """Return the rank on which the pawns of a side begin."""
        return _PAWN_RANK[colour]


def _steps(kind: chess.PieceType, squares: chess.Bitboard) -> chess.Bitboard:
    """Return the squares next on the way of a piece from any of `squares`."""
    beside = squares << 1 & ~chess.BB_FILE_A | squares >> 1 & ~chess.BB_FILE_H
    if kind == chess.ROOK:
        return (beside | squares << 8 | squares >> 8) & chess.BB_ALL
    if kind == chess.BISHOP:
        return (beside << 8 | beside >> 8) & chess.BB_ALL
    if kind == chess.KNIGHT:
        two = squares << 2 & ~(chess.BB_FILE_A | chess.BB_FILE_B) | squares >> 2 & ~(chess.BB_FILE_G | chess.BB_FILE_H)
        return (beside << 16 | beside >> 16 | two << 8 | two >> 8) & chess.BB_ALL
    row = squares | beside
    return (beside | row << 8 | row >> 8) & chess.BB_ALL


@lru_cache(maxsize=4096)  # earlier positions, and other problems, have the same few men that never moved
def _flood(
    kind: chess.PieceType, starts: chess.Bitboard, closed: chess.Bitboard, guarded: chess.Bitboard
) -> chess.Bitboard:
    """Return the squares reached one step at a time, through anything but `closed` and `guarded` squares.

    A man that starts on a closed square never left it. (A slider's long move is a row of
    steps, since the squares between are passed in any case.)
    """
    seen = starts
    ahead = starts & ~closed
    bar = closed | guarded
    while ahead:
        ahead = _steps(kind, ahead) & ~bar & ~seen
        seen |= ahead
    return seen
