"""What a phrase means in one position, and how a line of play is printed: small cases that other tests pass by."""

import chess
import pytest
from keyproof.grammar.descriptive import read_descriptive
from keyproof.grammar.moves import read_move
from keyproof.rules.board.headings import heads, likeliest
from keyproof.rules.board.resolve import meant_moves
from keyproof.rules.play.node import Node, numbered
from keyproof.rules.play.why import why_not

ROOK = "8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1"


@pytest.mark.parametrize(
    ("first", "printed"),
    [(0, "1.Kg2 h4 2.Rg5#"), (1, "1...Kg2 2.h4 Rg5#"), (3, "2...Kg2 3.h4 Rg5#"), (4, "3.Kg2 h4 4.Rg5#")],
)
def test_moves_are_numbered_from_where_they_stand(first: int, printed: str) -> None:
    """PGN standard, 8.2.2: a number before each move of White, and before Black's where it begins."""
    assert numbered(["Kg2", "h4", "Rg5#"], first) == printed


@pytest.mark.parametrize(
    ("fen", "words", "said"),
    [
        (ROOK, "Q~", "White has no queen"),
        (ROOK.replace("8 w", "6q1 w"), "Q~", "it is White's move here, and White has no queen"),
        ("7k/8/8/8/8/8/5PPP/6BK w - - 0 1", "B~", "no white bishop has such a move here"),
    ],
)
def test_why_a_set_of_moves_is_empty(fen: str, words: str, said: str) -> None:
    assert why_not(Node(chess.Board(fen)), read_move(words)).message == said


def test_any_move_of_a_man_may_capture() -> None:
    """In descriptive notation too, where a move printed without capture is none."""
    board = chess.Board(ROOK)
    moves = {move for move in board.legal_moves if board.piece_type_at(move.from_square) == chess.ROOK}
    assert set(meant_moves(board, read_descriptive("R any"))) == moves
    assert any(map(board.is_capture, moves))


def led(board: chess.Board, heading: str) -> set[str]:
    moves = [move for move in board.legal_moves if board.piece_type_at(move.from_square) == chess.ROOK]
    return {move.uci() for move in likeliest(board, moves, [heading])}


@pytest.mark.parametrize("colour", chess.COLORS)
def test_forward_and_back_are_as_the_side_sees_the_board(colour: chess.Color) -> None:
    board = chess.Board("k7/8/8/8/3R4/8/8/K7 w - - 0 1" if colour else "k7/8/8/8/3r4/8/8/K7 b - - 0 1")
    up, down = {"d4d5", "d4d6", "d4d7", "d4d8"}, {"d4d3", "d4d2", "d4d1"}
    assert led(board, "forward") == (up if colour else down)
    assert led(board, "back") == (down if colour else up)


def test_back_is_where_a_man_came_from_too() -> None:
    board = chess.Board("k7/8/8/8/3R4/8/8/K7 w - - 0 1")
    for move in ("d4g4", "a8a7"):
        board.push_uci(move)
    assert led(board, "back") == {"g4d4", "g4g3", "g4g2", "g4g1"}
    board = chess.Board("k7/8/8/8/8/8/8/K2R4 w - - 0 1")
    for move in ("d1g1", "a8a7"):
        board.push_uci(move)
    assert led(board, "back") == {"g1d1"}


@pytest.mark.parametrize(
    ("heading", "squares"),
    [
        ("up", {"d5", "d6", "d7", "d8"}),
        ("down", {"d3", "d2", "d1"}),
        ("left", {"a4", "b4", "c4"}),
        ("right", {"e4", "f4", "g4", "h4"}),
        ("edge", {"a4", "h4", "d1", "d8"}),
        ("corner", set()),
    ],
)
def test_directions_are_as_white_sees_the_board(heading: str, squares: set[str]) -> None:
    board = chess.Board("k7/8/8/8/3r4/8/8/K7 b - - 0 1")
    moves = [move for move in board.legal_moves if board.piece_type_at(move.from_square) == chess.ROOK]
    led = {chess.square_name(move.to_square) for move in moves if heads(board, move, heading)}
    assert led == squares


def test_a_pawn_goes_up_and_down_alike() -> None:
    board = chess.Board("k7/8/8/8/8/8/4P3/K7 w - - 0 1")
    assert heads(board, chess.Move.from_uci("e2e4"), "up")
    assert heads(board, chess.Move.from_uci("e2e4"), "down")
