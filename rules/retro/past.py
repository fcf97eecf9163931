"""Whether a position can have come about at all, and by which last moves."""

import chess
from msgspec import Struct

from ..board.names import listing, name, side
from . import pawns
from .men import Men
from .moves import LastMove, before, double_step_before, plausible, retractions, unmoved_before
from .origins import origins

DEPTH = 2  # moves taken back: the opponent's last one and the one before it
MOST_POSITIONS = 4000

_START = chess.Board()


class _Search(Struct):
    """A budget of positions that several questions share; when it is spent every position counts as possible."""

    left: int = MOST_POSITIONS

    def spend(self) -> bool:
        self.left -= 1
        return self.left >= 0


class Contradiction(Struct, frozen=True):
    """Why a position cannot have come about. `reason` is a clause such as "Black has no last move"."""

    reason: str


class LastMoves(Struct, frozen=True):
    """The moves by which a position can have come about; `complete` is false where the budget ended the test."""

    moves: tuple[LastMove, ...]
    complete: bool


def contradiction(board: chess.Board, unmoved: chess.Bitboard = chess.BB_EMPTY) -> Contradiction | None:
    """Return why no game leads to this position, None if that is not proved.

    Men on the squares `unmoved` are supposed never to have moved. The board needs one king a
    side, no pawn on a first or last rank, and the side not to move not in check.
    """
    reason = _standing(board, unmoved)
    if reason:
        return Contradiction(reason)
    if _has_past(board, unmoved, DEPTH, _Search()):
        return None
    return Contradiction(_no_last_move(board, unmoved))


def last_moves(board: chess.Board, unmoved: chess.Bitboard = chess.BB_EMPTY, most: int = MOST_POSITIONS) -> LastMoves:
    """Return every move that can have led to this position, as far as that was not disproved.

    At most `most` earlier positions are tested.
    """
    search = _Search(most)
    found = [last for last in retractions(board, unmoved) if _possible(board, last, unmoved, DEPTH, search)]
    return LastMoves(tuple(found), search.left >= 0)


def _standing(board: chess.Board, unmoved: chess.Bitboard) -> str:
    """Return why the men cannot stand as they do, whoever moved last; empty if that is not proved."""
    men = Men(board, unmoved)
    white, black = origins(men, chess.WHITE), origins(men, chess.BLACK)
    return white.contradiction or black.contradiction or pawns.contradiction(men, white, black)


def _has_past(board: chess.Board, unmoved: chess.Bitboard, depth: int, search: _Search) -> bool:
    """Tell whether some last move is not disproved."""
    if depth == 0 or _is_start(board):
        return True
    return any(_possible(board, last, unmoved, depth, search) for last in retractions(board, unmoved))


def _possible(board: chess.Board, last: LastMove, unmoved: chess.Bitboard, depth: int, search: _Search) -> bool:
    if not search.spend():
        return True
    earlier = before(board, last)
    if not plausible(earlier, last):
        return False
    still = unmoved_before(last, unmoved)
    if last.en_passant:
        step = double_step_before(last)
        start = before(earlier, step)
        return plausible(start, step) and not _standing(start, still) and _has_past(start, still, depth - 1, search)
    if (last.captured or last.promotion or last.castling) and _standing(earlier, still):
        return False
    return _has_past(earlier, still, depth - 1, search)


def _is_start(board: chess.Board) -> bool:
    return board.turn == chess.WHITE and board.occupied == _START.occupied and board.board_fen() == _START.board_fen()


def _no_last_move(board: chess.Board, unmoved: chess.Bitboard) -> str:
    """Say in words that there is no last move: by the checks if the king is in check, else by the men."""
    mover = not board.turn
    checkers = board.checkers_mask()
    if checkers:
        squares = [*chess.scan_forward(checkers)]
        givers = listing([f"the {chess.piece_name(_kind(board, square))} on {name(square)}" for square in squares])
        king = board.king(board.turn)
        assert king is not None
        return f"no move by {side(mover)} can have given the check to the king on {name(king)} from {givers}"
    able = {last.target for last in retractions(board, unmoved)}
    if not able:
        other = "other " if unmoved & board.occupied_co[mover] else ""
        return f"no {other}{chess.COLOR_NAMES[mover]} man can have moved last"
    return f"there is no move that {side(mover)} can have played last"


def _kind(board: chess.Board, square: chess.Square) -> chess.PieceType:
    kind = board.piece_type_at(square)
    assert kind is not None
    return kind
