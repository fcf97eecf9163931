"""Replies of one man that a speaker runs through without a word between them. The position is of our own making."""

import pytest
from test_walk_print import placed

ROOK = "6Q1/7p/5P2/7k/1R6/7n/3K4/8 w - - 0 1"  # 1.Rg4; Nf2, Nf4 and Ng1 2.Qg5, h6 2.Qg6


@pytest.mark.parametrize(
    "words",
    [
        "knight f2 knight f4 knight g1 all answered by queen g5 mate",
        "knight f2 knight f4 or knight g1 and it's queen g5 mate every time",
        "knight to f2 knight to f4 knight to g1 and queen g5 is mate",
    ],
)
def test_replies_that_run_on_have_one_answer(words: str) -> None:
    assert placed(ROOK, f"So it's rook g4. {words}") >= {"Rg4 Nf2 Qg5", "Rg4 Nf4 Qg5", "Rg4 Ng1 Qg5"}


def test_a_reply_and_its_answer_by_men_of_different_kinds_run_on_as_play() -> None:
    lines = placed(ROOK, "So it's rook g4. pawn h6 queen g6 mate knight f2 queen g5 mate")
    assert lines >= {"Rg4 h6 Qg6", "Rg4 Nf2 Qg5"}


@pytest.mark.parametrize("squares", ["knight f2, knight f4, h6", "knight f4, h6", "knight f2, f4, h6"])
def test_squares_of_a_list_that_its_man_does_not_reach_are_those_of_pawns(squares: str) -> None:
    lines = placed("6Q1/7p/5P2/7k/1R6/7n/3K4/8 w - - 0 1", f"Key: rook g4. After {squares}, a queen somewhere mates.")
    assert lines >= {"Rg4 Nf4", "Rg4 h6"}
