"""Castling against the Laws, cause by cause (FIDE Laws 3.8.2, in force 1 January 2023)."""

import random

import chess
import pytest
from checking import rules_found
from hypothesis import given
from hypothesis import strategies as st
from keyproof.grammar.moves import read_move
from keyproof.rules.board.resolve import meant_moves
from keyproof.rules.play.castling import why_not_castle
from keyproof.rules.play.node import Node
from strategies import few_men

SPARE = "7k/6pp/8/8/8/8"  # Black's king far away, the two lowest ranks free


@pytest.mark.parametrize(
    ("fen", "text", "rule"),
    [
        # 3.8.2: king two squares towards a rook on its original square.
        (f"{SPARE}/8/R3K2R w KQ - 0 1", "1.O-O", None),
        (f"{SPARE}/8/R3K2R w KQ - 0 1", "1.O-O-O", None),
        (f"{SPARE}/8/R3K1R1 w Q - 0 1", "1.O-O", "castling-not-at-home"),
        (f"{SPARE}/8/R2K3R w - - 0 1", "1.O-O-O", "castling-not-at-home"),
        (f"{SPARE}/R6R/4K3 w - - 0 1", "1.O-O", "castling-not-at-home"),
        # 3.8.2.1(a) and (b): lost once the king, or that rook, has moved, even if it came back.
        (f"{SPARE}/8/R3K2R w KQ - 0 1", "1.Ke2 Kg8 2.Ke1 Kh8 3.O-O", "castling-right-lost"),
        (f"{SPARE}/8/R3K2R w KQ - 0 1", "1.Rh2 Kg8 2.Rh1 Kh8 3.O-O", "castling-right-lost"),
        (f"{SPARE}/8/R3K2R w KQ - 0 1", "1.Rh2 Kg8 2.Rh1 Kh8 3.O-O-O", None),
        ("4k2r/7p/p7/8/8/8/8/4K2R w Kk - 0 1", "1.Ke2 O-O", None),
        ("7k/6pp/8/8/8/5b2/8/4K2R b K - 0 1", "1...Bxh1 2.O-O", "castling-right-lost"),
        # 3.8.2.2(a): the square the king leaves, crosses and lands on must not be attacked.
        ("4r2k/6pp/8/8/8/8/8/R3K2R w KQ - 0 1", "1.O-O", "castling-out-of-check"),
        ("5r1k/6pp/8/8/8/8/8/R3K2R w KQ - 0 1", "1.O-O", "castling-through-check"),
        ("6rk/7p/8/8/8/8/8/R3K2R w KQ - 0 1", "1.O-O", "castling-into-check"),
        ("3r3k/6pp/8/8/8/8/8/R3K2R w KQ - 0 1", "1.O-O-O", "castling-through-check"),
        ("2r4k/6pp/8/8/8/8/8/R3K2R w KQ - 0 1", "1.O-O-O", "castling-into-check"),
        # The rook may be attacked, and may cross an attacked square: 3.8.2.2(a) names the king's squares alone.
        ("7k/6p1/8/8/8/8/8/R3K2R w KQ - 0 1", "1.O-O", None),
        ("7k/6pr/8/8/8/8/8/R3K2R w KQ - 0 1", "1.O-O", None),
        ("1r5k/6pp/8/8/8/8/8/R3K2R w KQ - 0 1", "1.O-O-O", None),
        ("r6k/6pp/8/8/8/8/8/R3K2R w KQ - 0 1", "1.O-O-O", None),
        # 3.1.3: a pinned man attacks all the same.
        ("5r1k/4P1pp/8/8/8/8/8/R3K2R w KQ - 0 1", "1.O-O", "castling-through-check"),
        # 3.8.2.2(b): no man may stand between king and rook, of either side.
        (f"{SPARE}/8/RN2K2R w KQ - 0 1", "1.O-O-O", "castling-blocked"),
        (f"{SPARE}/8/Rn2K2R w KQ - 0 1", "1.O-O-O", "castling-blocked"),
        (f"{SPARE}/8/R3KB1R w KQ - 0 1", "1.O-O", "castling-blocked"),
        (f"{SPARE}/8/R3K1nR w KQ - 0 1", "1.O-O", "castling-blocked"),
        # C.13.1 and C.13.2: digit zero; PGN 8.2.3.3: the letter O.
        (f"{SPARE}/8/R3K2R w KQ - 0 1", "1.0-0", None),
        (f"{SPARE}/8/R3K2R w KQ - 0 1", "1.0-0-0", None),
    ],
)
def test_each_cause(fen: str, text: str, rule: str | None) -> None:
    found = [name for name in rules_found(f"FEN: {fen}\n{text}") if name.startswith(("castling", "illegal", "wrong"))]
    assert found == ([rule] if rule else [])


@pytest.mark.parametrize(
    ("fen", "text"),
    [
        ("7k/6pp/8/8/8/8/7R/4K3 w - - 0 1", "1.Rh1 Kg8 2.O-O"),
        ("7k/6pp/8/8/8/8/8/3K3R w - - 0 1", "1.Ke1 Kg8 2.O-O"),
        ("7k/6pp/8/8/8/5n1P/8/4K2r w - - 0 1", "1.Ke2 Rh2 2.Ke1 Kg8 3.O-O"),
    ],
)
def test_who_came_home_in_the_line_has_moved(fen: str, text: str) -> None:
    """Laws 3.8.2.1; nothing in the diagram gives a right that could be missing from the FEN."""
    assert "castling-right-missing" not in rules_found(f"FEN: {fen}\n{text}")


def causes(board: chess.Board, wing: str) -> set[str]:
    """Return every cause that forbids a castling, with python-chess's attacks alone."""
    rank = 0 if board.turn else 56
    king, rook = chess.E1 + rank, (chess.H1 if wing == "short" else chess.A1) + rank
    if board.piece_at(king) != chess.Piece(chess.KING, board.turn) or board.piece_at(rook) != chess.Piece(
        chess.ROOK, board.turn
    ):
        return {"castling-not-at-home"}
    step = 1 if wing == "short" else -1
    found = set()
    if any(board.piece_at(square) for square in chess.SquareSet.between(king, rook)):
        found.add("castling-blocked")
    names = ("castling-out-of-check", "castling-through-check", "castling-into-check")
    for far, name in enumerate(names):
        if board.is_attacked_by(not board.turn, king + far * step):
            found.add(name)
    return found


@given(st.integers(0, 2**32 - 1), st.sampled_from(("short", "long")))
def test_the_cause_named_is_one_that_holds(seed: int, wing: str) -> None:
    chance = random.Random(seed)
    board = few_men(chance, 8, men="QRBNPqrbnpp")
    while board.king(board.turn) not in (chess.E1, chess.E8):
        board = few_men(chance, 8, men="QRBNPqrbnpp")
    board = chess.Board(board.fen())
    phrase = read_move("O-O" if wing == "short" else "O-O-O")
    if meant_moves(board, phrase):
        assert not causes(board, wing)
        return
    rule, _ = why_not_castle(Node(board), wing)
    expected = causes(board, wing) or {"castling-right-missing", "castling-provably-lost"}
    assert rule in expected


def test_the_move_that_lost_the_right_is_named() -> None:
    board = chess.Board("4k2r/7p/8/8/8/8/8/4K2R b Kk - 0 1")
    node = Node(board, shift=1)
    for san in ("Rg8", "Rf1", "Rh8", "Rh1"):
        node = node.play(node.board.parse_san(san))
    assert why_not_castle(node, "short")[1] == "Black's rook left h8 with 1...Rg8 (Laws 3.8.2.1)"
    node = node.play(node.board.parse_san("Kd8"))
    assert why_not_castle(node, "short")[1] == "White's rook left h1 with 2.Rf1 (Laws 3.8.2.1)"


def test_a_rook_that_was_captured_at_home_is_said_to_be_gone() -> None:
    node = Node(chess.Board("7k/8/8/8/8/5b2/8/4K2R b K - 0 1"), shift=1)
    node = node.play(node.board.parse_san("Bxh1"))
    assert why_not_castle(node, "short")[1] == "White's rook was captured on h1 by 1...Bxh1 (Laws 3.8.2.1)"


def test_either_castling_names_both_reasons() -> None:
    node = Node(chess.Board(f"{SPARE}/8/RN2K1R1 w Q - 0 1"))
    rule, message = why_not_castle(node, "either")
    assert rule == "castling-blocked"  # on the side where king and rook stand at home
    assert message.startswith("kingside: ")
    assert "queenside: the white knight on b1" in message
