"""What is said of guards and pins, compared with what a move on the board shows."""

import chess
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from keyproof.grammar.letters import LANGUAGES
from keyproof.grammar.reasons import reasons
from keyproof.grammar.spans import Span
from keyproof.rules.play.node import Node
from keyproof.rules.reasons.deciders import DECIDERS
from strategies import positions


def verdict(board: chess.Board, words: str) -> str:
    (reason,) = reasons(words, Span(0, len(words)), LANGUAGES["en"])
    judged = DECIDERS[reason.kind](Node(board), reason)
    assert judged is not None
    return judged.verdict


def name(board: chess.Board, square: chess.Square) -> str:
    piece = board.piece_at(square)
    assert piece is not None
    kind = f"{chess.COLOR_NAMES[piece.color]} {chess.piece_name(piece.piece_type)}"
    return f"the {kind} on {chess.square_name(square)}"


@given(positions(), st.data())
def test_a_man_guards_a_square_if_it_could_capture_there(board: chess.Board, data: st.DataObject) -> None:
    # FIDE Laws 3.1.2: a man attacks a square if it could capture there; so an enemy man is put on it.
    guard = data.draw(st.sampled_from(sorted(board.piece_map())))
    square = data.draw(st.sampled_from(chess.SQUARES))
    colour = board.color_at(guard)
    assert colour is not None
    assume(square != guard and square not in (board.king(True), board.king(False)))
    said = verdict(board, f"{name(board, guard)} guards {chess.square_name(square)}")
    prey = board.copy(stack=False)
    prey.turn = colour
    prey.set_piece_at(square, chess.Piece(chess.KNIGHT, not colour))
    takes = any(move.from_square == guard and move.to_square == square for move in prey.pseudo_legal_moves)
    if takes:
        assert said == "right"
    else:  # a line through one man may be meant
        king = board.king(not colour)
        through = prey.copy(stack=False)
        through.remove_piece_at(king if king is not None else square)
        seen = any(move.from_square == guard and move.to_square == square for move in through.pseudo_legal_moves)
        assert said == "right" if seen else said != "right"


@given(positions(), st.data())
def test_a_man_is_pinned_if_its_king_is_open_without_it(board: chess.Board, data: st.DataObject) -> None:
    men = [square for square, piece in board.piece_map().items() if piece.piece_type != chess.KING]
    assume(men)
    man = data.draw(st.sampled_from(sorted(men)))
    colour = board.color_at(man)
    assert colour is not None
    king = board.king(colour)
    assert king is not None
    without = board.copy(stack=False)
    without.remove_piece_at(man)
    attackers = without.attackers(not colour, king) - board.attackers(not colour, king)
    said = verdict(board, f"{name(board, man)} is pinned")
    assert (said == "right") == bool(attackers)
    assert verdict(board, f"{name(board, man)} is not pinned") == ("wrong" if attackers else "right")
    for pinner in attackers:
        assert verdict(board, f"{name(board, man)} is pinned by {name(board, pinner)}") == "right"


@given(positions())
def test_the_king_has_as_many_squares_as_moves(board: chess.Board) -> None:
    king = board.king(board.turn)
    assert king is not None
    moves = [move for move in board.legal_moves if move.from_square == king and not board.is_castling(move)]
    quiet = [move for move in moves if not board.is_capture(move)]
    numbers = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight")
    for count, number in enumerate(numbers):
        plural = "" if count == 1 else "s"
        said = verdict(board, f"the {chess.COLOR_NAMES[board.turn]} king has {number} square{plural}")
        assert said == ("right" if count in (len(moves), len(quiet)) else "wrong")


@pytest.mark.parametrize(
    ("fen", "words", "expected"),
    [
        # Self-blocks, lines and stuck pawns as the terms of the trade have them: common practice, no source.
        ("7k/7p/8/8/8/8/8/K7 w - - 0 1", "the pawn blocks h7 for its own king", "right"),
        ("7k/8/7p/8/8/8/8/K7 w - - 0 1", "the pawn blocks h6 for its own king", "wrong"),
        ("7k/8/7p/7P/8/8/8/K7 w - - 0 1", "the pawn on h6 is stuck", "right"),
        ("7k/8/7p/8/8/8/8/K7 w - - 0 1", "the pawn on h6 is stuck", "wrong"),
        ("7k/8/8/3r4/3N4/8/8/K7 w - - 0 1", "the knight shuts off the rook", "right"),
        ("7k/8/8/3r4/2N5/8/8/K7 w - - 0 1", "the knight shuts off the rook", "wrong"),
        ("7k/8/8/3r4/8/8/8/K2N4 w - - 0 1", "the knight shuts off the rook", "wrong"),  # nothing lies beyond
        ("4q2k/8/4n3/8/8/8/4R3/K7 w - - 0 1", "the knight is pinned", "undecided"),  # to the queen only
        ("4q2k/8/4n3/8/8/8/4R3/K7 w - - 0 1", "the knight is pinned to the queen", "right"),
        ("4q2k/8/4n3/8/8/8/4R3/K7 w - - 0 1", "the knight is pinned to the king", "wrong"),
    ],
)
def test_the_terms_mean_this(fen: str, words: str, expected: str) -> None:
    assert verdict(chess.Board(fen), words) == expected


@pytest.mark.parametrize(("pinner", "right"), [("knight", True), ("rook on e1", True), ("bishop", False)])
def test_who_has_left_the_line_of_a_pin_pins_too(pinner: str, right: bool) -> None:
    node = Node(chess.Board("4k3/4r3/8/8/4N3/8/6B1/K3R3 w - - 0 1")).play(chess.Move.from_uci("e4c3"))
    words = f"the {pinner} pins the rook on e7 to its king"
    (reason,) = reasons(words, Span(0, len(words)), LANGUAGES["en"])
    judged = DECIDERS["pinned"](node, reason)
    assert judged is not None
    assert (judged.verdict == "right") is right
