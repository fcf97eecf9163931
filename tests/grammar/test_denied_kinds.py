"""What is denied beside a move: a square that the king has not, the kind of a mate, or nothing at all."""

import pytest
from keyproof.grammar.cues import Stance
from keyproof.grammar.moves import Effect
from told_frames import moves_of, squares_of


@pytest.mark.parametrize(
    ("text", "squares"),
    [
        ("Rook e4 mates, as the king has no g5.", ["g5"]),
        ("He had no c8, mind you.", ["c8"]),
        ("The black king has no f4 and no f5.", ["f4", "f5"]),
        ("She's got no b7 now.", ["b7"]),
    ],
)
def test_a_square_that_nobody_has_is_denied(text: str, squares: list[str]) -> None:
    denied = [each for each in moves_of(text) if each.stance is Stance.denied]
    assert [square for each in denied for square in squares_of(each)] == squares


@pytest.mark.parametrize(
    "text",
    [
        "The queen mates on b7, a pure mate but not a model mate.",
        "2.Rg5# is not a very pretty mate.",
        "Rook g5 mates, though it's not the promised mate.",
    ],
)
def test_that_a_mate_is_not_of_a_kind_denies_no_mate(text: str) -> None:
    assert Effect.not_mate not in [effect for each in moves_of(text) for effect, _ in each.effects]


@pytest.mark.parametrize("text", ["2.Rg5+ is not a mate.", "2.Rg5+ is not mate.", "2.Rg5+ isn't quite mate."])
def test_that_it_is_no_mate_does(text: str) -> None:
    assert Effect.not_mate in [effect for each in moves_of(text) for effect, _ in each.effects]


@pytest.mark.parametrize(
    "text", ["1...Kg8 shows nothing.", "Then 2.Kb3 Kb2 nothing is left.", "1...Kg8 gains nothing."]
)
def test_that_nothing_comes_of_a_printed_move_denies_it_not(text: str) -> None:
    assert [each.stance for each in moves_of(text)][-1] is Stance.asserted
