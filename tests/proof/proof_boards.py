"""Random positions for comparing provers: play from the start array, few and many men, kings about to be mated.

A position is made from one drawn number, which is quick; the number and the FEN name a failing case.
"""

import random
from collections.abc import Callable

import chess
from hypothesis import note
from hypothesis import strategies as st

Source = Callable[[random.Random], chess.Board]
FAULTS = chess.STATUS_OPPOSITE_CHECK | chess.STATUS_INVALID_EP_SQUARE

_EDGE = [chess.A1, chess.D1, chess.H1, chess.A4, chess.H4, chess.A8, chess.D8, chess.H8]


def game(chance: random.Random) -> chess.Board:
    """Play up to 80 random plies from the start array, captures and pawn moves more often than not."""
    board = chess.Board()
    for _ in range(chance.randint(0, 80)):
        moves = list(board.legal_moves)
        if not moves:
            board.pop()
            break
        lively = [move for move in moves if board.is_zeroing(move) or board.is_castling(move)]
        board.push(chance.choice(lively if lively and chance.random() < 0.6 else moves))
    return board


def scattered(chance: random.Random, men: str, least: int, most: int, edge: bool = False) -> chess.Board:
    """Put kings and men anywhere; now and then kings and rooks at home, or a pawn that has just made a double step."""
    while True:
        board = chess.Board(None)
        home = chance.random() < 0.2
        board.set_piece_at(chance.choice(_EDGE) if edge else chance.randrange(64), chess.Piece.from_symbol("k"))
        symbols = ["K", *chance.choices(men, k=chance.randint(least, most))]
        for symbol in symbols:
            piece = chess.Piece.from_symbol(symbol)
            allowed = chess.BB_ALL if piece.piece_type != chess.PAWN else chess.BB_ALL & ~chess.BB_BACKRANKS
            if home and symbol in "KR":
                allowed = (chess.BB_E1 if symbol == "K" else chess.BB_A1 | chess.BB_H1) & ~board.occupied or allowed
            board.set_piece_at(chance.choice(list(chess.SquareSet(allowed & ~board.occupied))), piece)
        board.turn = edge or chance.random() < 0.5
        board.castling_rights = board.rooks & chess.BB_RANK_1
        board.castling_rights = board.clean_castling_rights()
        passed = [square for square in range(16, 24) if _could_have_passed(board, square)]
        if not board.turn and passed and chance.random() < 0.5:
            board.ep_square = chance.choice(passed)
        if not board.status() & FAULTS:
            return board


def _could_have_passed(board: chess.Board, square: chess.Square) -> bool:
    behind = not board.piece_at(square) and not board.piece_at(square - 8)
    return behind and board.piece_at(square + 8) == chess.Piece(chess.PAWN, chess.WHITE)


def sparse(chance: random.Random) -> chess.Board:
    """Up to four men beside the kings."""
    return scattered(chance, "QRBNPPpn", 1, 4)


def crowded(chance: random.Random) -> chess.Board:
    """Eight to thirty men, promoted ones among them."""
    return scattered(chance, "QRRBBNNPPPPqrrbbnnpppp", 8, 30)


def lost_king(chance: random.Random) -> chess.Board:
    """A black king at the edge against a superior force: mates, duals and several keys abound."""
    return scattered(chance, "QRRBBNNPPPPppbnr", 2, 8, edge=True)


def lonely_king(chance: random.Random) -> chess.Board:
    """The same with one to three men beside the kings."""
    return scattered(chance, "QRRBNPPp", 1, 3, edge=True)


def drawn(*sources: Source) -> st.SearchStrategy[chess.Board]:
    """Return positions of the sources."""

    def make(source: Source, number: int) -> chess.Board:
        board = source(random.Random(number))
        note(board.fen())
        board = board.copy(stack=False)
        board.castling_rights = board.clean_castling_rights()
        return board

    return st.builds(make, st.sampled_from(sources), st.integers(0, 2**32))
