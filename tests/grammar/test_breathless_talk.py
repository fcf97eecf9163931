"""Speech without a sign of punctuation: what is denied or supposed ends with its move, squares stand in a row."""

import pytest
from keyproof.grammar.cues import Stance
from told_frames import moves_of, squares_of


@pytest.mark.parametrize(
    "text",
    [
        "she is giving the check not the pawn and he has um three things the first one is bishop to b six in between",
        "and black has just pushed that pawn you see there on a five so the thing is that our b pawn takes on a six",
        "you can not go queen to c three because of the rook and so i had a look and played knight to e four instead",
    ],
)
def test_what_is_denied_or_supposed_ends_with_its_move(text: str) -> None:
    assert moves_of(text)[-1].stance is Stance.asserted


def test_what_is_denied_stays_so_between_signs() -> None:
    assert moves_of("He can't go to c5, nor to d5, nor to e5.")[0].stance is Stance.denied


def test_squares_in_a_row_are_a_list() -> None:
    (move,) = moves_of("so knight f six d six c five g three")
    assert squares_of(move) == ["f6", "d6", "c5", "g3"]


def test_two_squares_are_from_and_to() -> None:
    (move,) = moves_of("knight e four to d six")
    assert squares_of(move) == ["d6"]


def test_a_move_is_told_behind_what_he_has() -> None:
    found = moves_of(
        "he has two moves king f two and that's queen d four mate and the other one is pawn to f two you see"
    )
    assert [squares_of(move) for move in found] == [["f2"], ["d4"], ["f2"]]
