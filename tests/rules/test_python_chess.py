"""What python-chess takes for a move, pinned so that an upgrade shows.

Its reader is lenient on purpose (it is made for real-world files); keyproof therefore reads
what is printed by its own grammar and asks python-chess only which moves are legal. Each
line below is a leniency that would hide a misprint, beside what keyproof reports.
"""

import chess
import pytest
from checking import rules_found
from keyproof.grammar.moves import NotAMove, read_move
from keyproof.rules.board.resolve import meant_moves

CAPTURE = "7k/8/8/8/5p2/8/8/K4R2 w - - 0 1"  # 1.Rxf4, no check
PROMOTION = "8/P6k/8/8/8/8/8/K7 w - - 0 1"


@pytest.mark.parametrize("text", ["Rf4", "R1xf4", "R-f4", "f1f4", "Rxf4+", "Rxf4#", "Rfxf4", "Rf1xf4"])
def test_signs_and_origins_are_not_checked_by_python_chess(text: str) -> None:
    board = chess.Board(CAPTURE)
    move = board.parse_san(text)
    assert board.san(move) == "Rxf4"


@pytest.mark.parametrize(
    ("text", "rules"),
    [
        ("Rxf4", []),
        ("Rf4", []),  # C.9: the sign is optional
        ("Rf1xf4", []),
        ("Rxf4+", ["no-check"]),
        ("Rxf4#", ["mate-without-check"]),
        ("R1xf4", ["needless-origin"]),
        ("Raxf4", ["wrong-origin"]),
        ("f1f4", []),  # no letter and both squares: whoever stands there, as computers print it
        ("f4", ["illegal-move"]),  # no letter: a pawn
    ],
)
def test_keyproof_checks_what_is_printed(text: str, rules: list[str]) -> None:
    assert rules_found(f"FEN: {CAPTURE}\n1.{text}") == rules


def test_a_suffix_is_no_san_for_python_chess() -> None:
    with pytest.raises(chess.InvalidMoveError):
        chess.Board(CAPTURE).parse_san("Rxf4!")
    assert read_move("Rxf4!").annotation == "!"


@pytest.mark.parametrize("text", ["a8Q", "a8=q", "a8=Q+", "a8=Q#"])
def test_promotions_are_read_loosely_by_python_chess(text: str) -> None:
    board = chess.Board(PROMOTION)
    assert board.san(board.parse_san(text)) == "a8=Q"


def test_a_promotion_without_its_man_is_illegal_for_python_chess_and_incomplete_for_keyproof() -> None:
    with pytest.raises(chess.IllegalMoveError):
        chess.Board(PROMOTION).parse_san("a8")
    assert len(meant_moves(chess.Board(PROMOTION), read_move("a8"))) == 4


@pytest.mark.parametrize("text", ["a8(Q)", "a8/Q", "a8(N)", "R:f4", "0-0 ", "ef4", "exd", "Sf3", "♖xf4"])
def test_forms_of_books_are_no_san_for_python_chess(text: str) -> None:
    with pytest.raises(ValueError, match="san"):
        chess.Board(CAPTURE).parse_san(text)


@pytest.mark.parametrize("text", ["0-0", "0-0+", "O-O#", "0-0-0"])
def test_castling_with_zeros_is_read_by_python_chess(text: str) -> None:
    board = chess.Board("4k3/8/8/8/8/8/8/R3K2R w KQ - 0 1")
    assert board.is_castling(board.parse_san(text))


@pytest.mark.parametrize("text", ["--", "Z0", "0000", "@@@@"])
def test_a_pass_is_a_move_for_python_chess_and_none_for_keyproof(text: str) -> None:
    assert chess.Board().parse_san(text) == chess.Move.null()
    with pytest.raises(NotAMove):
        read_move(text)


def test_a_man_is_pinned_along_its_line_for_python_chess() -> None:
    """`is_pinned` is true of a man that may still move on the line; `pin` gives the whole line beyond the pinner."""
    board = chess.Board("4k3/8/8/8/8/4r3/4Q3/4K3 b - - 0 1")
    assert board.is_pinned(chess.BLACK, chess.E3)
    assert board.pin(chess.BLACK, chess.E3) == chess.SquareSet(chess.BB_FILE_E)
    assert chess.Move(chess.E3, chess.E2) in board.legal_moves


def test_after_a_pass_in_check_a_king_can_be_taken_in_python_chess() -> None:
    """Legal moves of a position with the other king in check include its capture (against Laws 1.4.1)."""
    board = chess.Board("4k3/8/8/8/8/8/4R3/4K3 w - - 0 1")
    assert board.status() == chess.STATUS_OPPOSITE_CHECK
    assert chess.Move(chess.E2, chess.E8) in board.legal_moves


def test_a_castling_right_needs_no_rook_on_the_board_it_is_set_on() -> None:
    """Rights are a mask of squares; only `clean_castling_rights` looks for the men."""
    board = chess.Board("4k3/8/8/8/8/8/7R/4K3 w - - 0 1")
    board.castling_rights = chess.BB_H1
    assert board.clean_castling_rights() == 0
    assert not board.has_kingside_castling_rights(chess.WHITE)
