"""What a man may choose from, castling told by its parts, answers and questions of a dialogue."""

import chess
import pytest
from keyproof.grammar.frames.build import frames
from keyproof.grammar.frames.values import Move, Said
from keyproof.grammar.lexicon.lexemes import lexemes
from keyproof.grammar.spans import Span
from told_frames import moves_of, squares_of


@pytest.mark.parametrize(
    ("text", "squares"),
    [
        ("He has one move, g7.", [["g7"]]),
        ("Black has a single move, to c1.", [["c1"]]),
        ("The king has two squares, h6 and h8.", [["h6", "h8"]]),
        ("He's got three flights: a1, b1 and c1.", [["a1", "b1", "c1"]]),
        ("He answers b5.", [["b5"]]),
        ("If you do g6 instead, the file's still shut.", [["g6"]]),
        ("Bishop moves? To d4, say.", [[], ["d4"]]),
        ("If king a7, b7 just the same.", [["a7"], ["b7"]]),
        ("If king a7, b7 or c8, it is mate.", [["a7", "b7", "c8"]]),
    ],
)
def test_squares_told(text: str, squares: list[list[str]]) -> None:
    assert [squares_of(move) for move in moves_of(text)] == squares


@pytest.mark.parametrize(
    ("text", "wing"),
    [
        ("The king goes over f1 to g1, rook jumps to f1.", "short"),
        ("King from e1 to c1, and the rook over it to d1.", "long"),
        ("His king goes to g8 and the rook hops to f8.", "short"),
        ("The king to c8, then, and the rook to d8.", "long"),
    ],
)
def test_castling_told_by_its_parts(text: str, wing: str) -> None:
    (move,) = moves_of(text)
    assert [each.castling for each in move.ways[0].choices] == [wing]
    assert move.apart


def test_a_king_and_a_rook_that_mates_do_not_castle() -> None:
    assert len(moves_of("King g1, rook f1 mate.")) == 2


@pytest.mark.parametrize(
    "text",
    [
        "Let me do the knight then. It's got six squares and I don't care which.",
        "The knight, no matter which.",
        "And the bishop? Whichever it is.",
    ],
)
def test_all_moves_of_the_man_named_last(text: str) -> None:
    move = moves_of(text)[-1]
    assert all(each.every for each in move.ways[0].choices)


def test_a_man_named_on_the_last_rank_may_be_new() -> None:
    (move,) = moves_of("Knight on d8, with check, it's so pretty.")
    assert move.ways[0].choices[0].promotion == chess.KNIGHT
    assert move.idle


def test_a_man_that_stands_on_the_last_rank_is_no_move() -> None:
    assert not [move for move in moves_of("White: king a1, queen on d8, pawn b7.") if move.idle]


def test_where_a_man_goes_is_answered_by_a_square() -> None:
    (move,) = moves_of("So where's the queen want to be? On the second rank! F2.")
    assert move.who is not None
    assert move.who.kinds == (chess.QUEEN,)


def test_a_square_that_does_the_same_is_a_move() -> None:
    (move,) = moves_of("d3 the same.")
    assert not move.bare


def test_the_only_king_move_is_no_set_of_moves() -> None:
    found = frames(text := "That's his only king move.", lexemes(text, Span(0, len(text))))
    assert not [each for each in found if isinstance(each, Move)]
    assert any(isinstance(each, Said) for each in found)


@pytest.mark.parametrize("text", ["The b-pawn goes one step or two.", "The b-pawn steps one or two squares."])
def test_one_step_or_two(text: str) -> None:
    (pawn,) = moves_of(text)
    assert pawn.ways[0].choices[0].steps == (1, 2)


@pytest.mark.parametrize(
    ("text", "number"),
    [("The king takes\nthe queen.", 1), ("The pawn\non b4 moves.", 1), ("The king takes\nrook g4", 2)],
)
def test_a_line_that_ends_in_the_middle_of_a_move(text: str, number: int) -> None:
    """It goes on in the next line if that says whom a man takes or where he stands, and no more."""
    assert len(moves_of(text)) == number
