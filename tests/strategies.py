"""Random positions and moves for the property tests.

Three sources, because each misses what the others have: play from the start array (crowded
boards, castling, double steps), boards of few men (mates, stalemates, pins, pawns near
promotion, as in most puzzles), and boards with an en passant capture open (often pinned).
None is uniform over anything: a move is drawn by kind first and the position is then looked
for, so that castling, promotion, double check, mate and stalemate, all rare in random play,
turn up in every run. A position is drawn as a size and a seed: a failing one shrinks to
fewer men or a shorter game.
"""

import random
from collections.abc import Callable

import chess
from hypothesis import strategies as st

UNPLAYABLE = (
    chess.STATUS_NO_WHITE_KING
    | chess.STATUS_NO_BLACK_KING
    | chess.STATUS_TOO_MANY_KINGS
    | chess.STATUS_PAWNS_ON_BACKRANK
    | chess.STATUS_OPPOSITE_CHECK
    | chess.STATUS_INVALID_EP_SQUARE
)
"""Faults of a position that leave it without sense for any test of moves."""

Kind = Callable[[chess.Board, chess.Move], bool]


def after(board: chess.Board, move: chess.Move) -> chess.Board:
    """Return a copy of `board` with `move` played."""
    board = board.copy(stack=False)
    board.push(move)
    return board


def _is_pawn(board: chess.Board, move: chess.Move) -> bool:
    return board.piece_type_at(move.from_square) == chess.PAWN


KINDS: dict[str, Kind] = {
    "any": lambda board, move: True,
    "capture": chess.Board.is_capture,
    "castling": chess.Board.is_castling,
    "en passant": chess.Board.is_en_passant,
    "promotion": lambda board, move: move.promotion is not None,
    "double step": lambda board, move: _is_pawn(board, move) and abs(move.from_square - move.to_square) == 16,
    "check": chess.Board.gives_check,
    "mate": lambda board, move: after(board, move).is_checkmate(),
    "stalemate": lambda board, move: after(board, move).is_stalemate(),
    "double check": lambda board, move: len(after(board, move).checkers()) > 1,
    "discovered check": lambda board, move: any(square != move.to_square for square in after(board, move).checkers()),
}

Source = Callable[[random.Random, int], chess.Board]


def _wander(chance: random.Random, board: chess.Board, length: int) -> chess.Board:
    for _ in range(length):
        moves = list(board.legal_moves)
        if not moves:
            break
        kind = KINDS[chance.choice(("any", "any", "capture", "castling", "en passant", "promotion", "double step"))]
        board.push(chance.choice([move for move in moves if kind(board, move)] or moves))
    return board


def game(chance: random.Random, size: int) -> chess.Board:
    """Return a position of random play from the start array, up to 4 * `size` moves on."""
    return _wander(chance, chess.Board(), chance.randint(0, 4 * size))


def few_men(chance: random.Random, size: int, men: str = "QRBNPPPPqrbnpppp") -> chess.Board:
    """Return two kings and up to `size` other men, now and then a few moves on.

    In a third of them the kings stand at home, with rooks in the corners and the rights to castle.
    """
    board = chess.Board(None)
    home = chance.random() < 0.33
    white_king = chess.E1 if home else chance.randrange(64)
    away = [square for square in chess.SQUARES if chess.square_distance(square, white_king) > 1]
    board.set_piece_at(white_king, chess.Piece(chess.KING, chess.WHITE))
    board.set_piece_at(chess.E8 if home else chance.choice(away), chess.Piece(chess.KING, chess.BLACK))
    if home:
        for square in chance.sample((chess.A1, chess.H1, chess.A8, chess.H8), chance.randint(1, 4)):
            board.set_piece_at(square, chess.Piece(chess.ROOK, square < chess.A2))
    for _ in range(chance.randint(0, size)):
        piece = chess.Piece.from_symbol(chance.choice(men))
        squares = chess.BB_ALL
        if piece.piece_type == chess.PAWN:  # by rank, often one step from promotion or on the first square
            own = range(8) if piece.color else range(7, -1, -1)
            squares = chess.BB_RANKS[own[chance.choice((6, 6, 6, 5, 4, 3, 2, 1, 1))]]
        free = list(chess.SquareSet(squares & ~board.occupied))
        if free:
            board.set_piece_at(chance.choice(free), piece)
    board.turn = chance.random() < 0.5
    board.castling_rights = board.rooks & chess.BB_CORNERS
    return _wander(chance, _settled(board), chance.choice((0, 0, 1, 3)))


def en_passant(chance: random.Random, size: int) -> chess.Board:
    """Return a board whose last move was a double step beside an enemy pawn."""
    board = few_men(chance, size, men="QRBqrb")
    side, file = board.turn, chance.randrange(8)
    beside = chance.choice([f for f in (file - 1, file + 1) if 0 <= f <= 7])
    rank, back = (4, 1) if side == chess.WHITE else (3, -1)
    start, passed, stop = (chess.square(file, rank + step * back) for step in (2, 1, 0))
    taker = chess.square(beside, rank)
    if any(board.piece_type_at(square) == chess.KING for square in (start, passed, stop, taker)):
        return board
    board.remove_piece_at(start)
    board.remove_piece_at(passed)
    board.set_piece_at(stop, chess.Piece(chess.PAWN, not side))
    board.set_piece_at(taker, chess.Piece(chess.PAWN, side))
    board.ep_square = passed
    board = _settled(board)
    if board.status() & UNPLAYABLE or not board.piece_at(taker):
        board.ep_square = None
    return board


def _settled(board: chess.Board) -> chess.Board:
    """Take away the men that could capture a king, and the castling rights that have no rook."""
    while board.status() & chess.STATUS_OPPOSITE_CHECK:
        king = board.king(not board.turn)
        assert king is not None
        for square in board.attackers(board.turn, king):
            board.remove_piece_at(square)
    board.castling_rights = board.clean_castling_rights()
    return board


_SEEDS = st.integers(0, 2**32 - 1)
_SIZES = st.integers(0, 12)
_SOURCES: tuple[Source, ...] = (game, few_men, few_men, en_passant)


@st.composite
def positions(draw: st.DrawFn, sources: tuple[Source, ...] = _SOURCES) -> chess.Board:
    """Return a playable position from one of `sources`."""
    board = draw(st.sampled_from(sources))(random.Random(draw(_SEEDS)), draw(_SIZES))
    assert not board.status() & UNPLAYABLE
    return board


@st.composite
def moves(draw: st.DrawFn, kinds: tuple[str, ...] = tuple(KINDS)) -> tuple[chess.Board, chess.Move]:
    """Return a position and a legal move in it, of one of `kinds` where a position with such a move was found."""
    kind = KINDS[draw(st.sampled_from(kinds))]
    chance, size = random.Random(draw(_SEEDS)), draw(_SIZES)
    for attempt in range(60):
        board = chance.choice(_SOURCES)(chance, size + attempt // 4)
        found = [move for move in board.legal_moves if kind(board, move)]
        if found:
            return board, chance.choice(found)
    board = chess.Board()
    return board, chance.choice(list(board.legal_moves))
