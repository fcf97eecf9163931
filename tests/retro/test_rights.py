"""Castling and en passant as the diagram decides them (WFCC Codex 16)."""

import chess
import pytest
from hypothesis import given
from keyproof.rules.retro.rights import Right, at_home, en_passant, en_passant_squares, judge
from strategies import game, positions


@given(positions(sources=(game,)))
def test_a_right_that_play_kept_is_never_called_lost(board: chess.Board) -> None:
    judged = judge(board)
    kept = [right for right in at_home(board) if board.castling_rights & chess.BB_SQUARES[right.rook]]
    assert not [right for right in kept if right in judged.lost]
    assert not [pair for pair in judged.exclusive if pair[0] in kept and pair[1] in kept]


@given(positions(sources=(game,)))
def test_a_capture_is_not_proved_open_unless_the_double_step_was_played(board: chess.Board) -> None:
    for square in en_passant_squares(board):
        if en_passant(board, square).proved:
            assert board.ep_square == square


LOST = [
    # 16(1): no black man but king and rook can have moved last: the pawns stand on their first squares.
    ("4k2r/5ppp/3K4/1P4N1/8/7R/8/8 w - - 0 1", chess.H8, "no other black man can have moved last"),
    ("r3k3/ppp5/8/8/8/8/8/4K2R w - - 0 1", chess.A8, "no other black man can have moved last"),
    # One of three rooks is promoted: its pawn came to d7 or f7, with check to a king that did not stand still.
    ("4k2r/ppp1p1pp/8/8/3R4/n7/PPPP4/R1K4R w - - 0 1", chess.H8, "no pawn can have become it"),
    # The same for White, with Black to move.
    ("4k3/8/8/8/8/8/5PPP/4K2R b - - 0 1", chess.H1, "no other white man can have moved last"),
]
KEPT = [
    ("4k2r/5ppp/3K4/1P4N1/8/7R/8/7n w - - 0 1", chess.H8, "the knight may have moved last"),
    ("4k2r/5p1p/6p1/8/8/8/8/4K3 w - - 0 1", chess.H8, "g7-g6"),
    ("4k2r/5ppp/8/8/8/8/8/4K3 b - - 0 1", chess.H8, "White moved last, and Black's man may have been captured"),
    ("7k/8/8/8/8/8/8/4K2R w K - 0 1", chess.H1, "Black moved last"),
]


@pytest.mark.parametrize(("fen", "rook", "reason"), LOST)
def test_a_right_proved_lost(fen: str, rook: chess.Square, reason: str) -> None:
    lost = judge(chess.Board(fen)).lost
    assert reason in lost[Right(rook)]


@pytest.mark.parametrize(("fen", "rook", "reason"), KEPT)
def test_a_right_not_proved_lost(fen: str, rook: chess.Square, reason: str) -> None:
    """Codex 16(1): allowed unless it can be proved impossible."""
    board = chess.Board(fen)
    assert Right(rook) in at_home(board)
    assert not judge(board).lost, reason


def test_rights_that_exclude_each_other() -> None:
    """Codex 16(3). The rook on d4 came from a1, past White's king, or was promoted, past Black's."""
    board = chess.Board("r3k3/ppp1p1pp/8/5p2/3R4/8/PPPP4/4K2R w - - 0 1")
    judged = judge(board)
    assert not judged.lost
    (first, second, reason) = judged.exclusive[0]
    assert {first.rook, second.rook} == {chess.H1, chess.A8}
    assert "the white rook on d4" in reason


def test_rights_that_do_not_exclude_each_other() -> None:
    let_out = chess.Board("r3k3/ppp1p1pp/8/5p2/3R4/1P6/P1PP4/4K2R w - - 0 1")
    assert judge(let_out).exclusive == ()


@pytest.mark.parametrize(
    ("fen", "square", "reason"),
    [
        # d6 is attacked by a pawn from where White's king would have stood in check (so not d6-d5), c6 and e6
        # are taken (no capture on d5), and the black king's ways back are its own men and White's knight.
        ("6Nk/6pp/2P1P3/2KpP3/8/8/8/8 w - - 0 1", chess.D6, "d7-d5 alone"),
        ("8/8/8/8/2kPp3/2p1p3/6PP/6nK b - - 0 1", chess.D3, "the same from the other side"),
    ],
)
def test_a_double_step_that_is_proved(fen: str, square: chess.Square, reason: str) -> None:
    """Codex 16(2)."""
    board = chess.Board(fen)
    assert list(en_passant_squares(board)) == [square]
    judged = en_passant(board, square)
    assert judged.proved, reason
    assert not judged.others
    assert judged.step.double_step


@pytest.mark.parametrize(
    ("fen", "other"),
    [
        ("7k/8/8/3pP3/8/8/8/K7 w - - 0 1", "d6-d5"),
        ("6Nk/6pp/2P1P3/3pP3/2K5/8/8/8 w - - 0 1", "d6-d5"),  # no check on d6's diagonals: one step is possible
        ("6Nk/6pp/4P3/2KpP3/8/8/8/8 w - - 0 1", "c6xQd5"),  # c6 is free
        ("7k/6pp/2P1P3/2KpP3/8/8/8/8 w - - 0 1", "Kg8-h8"),  # the king may have moved last
    ],
)
def test_a_double_step_that_is_not_proved(fen: str, other: str) -> None:
    """Codex 16(2): one other last move is enough."""
    judged = en_passant(chess.Board(fen), chess.D6)
    assert not judged.proved
    assert not judged.impossible
    assert other in [str(last) for last in judged.others]


def test_a_double_step_that_cannot_have_been() -> None:
    """Laws 3.9.2: White would have left his king in check before it."""
    judged = en_passant(chess.Board("4k3/8/8/3pP3/8/5b2/8/7K w - - 0 1"), chess.D6)
    assert judged.impossible
    assert not judged.proved


def test_a_double_step_that_a_castling_right_would_prove() -> None:
    """Codex 16(3): if Black may castle, king and rook have not moved, and only the pawn is left."""
    board = chess.Board("4k2r/5ppp/2P1P3/2KpP3/8/8/8/8 w - - 0 1")
    judged = en_passant(board, chess.D6)
    assert not judged.proved
    assert [right.may() for right in judged.given] == ["Black may castle kingside"]


def test_a_position_that_cannot_be_proves_nothing_of_castling() -> None:
    board = chess.Board("rnbqkbnr/pppppppp/8/8/8/P7/P1PPPPPP/RNBQKBNR w - - 0 1")
    assert len(at_home(board)) == 4
    assert not judge(board).lost
