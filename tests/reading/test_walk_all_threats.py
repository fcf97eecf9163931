"""Answers that are told as threats which all work: "any other move: both threats", "you can have either"."""

import pytest
from test_walk_print import placed

TWO = "3k4/8/2K2pQp/4p3/n7/1p2b1pp/2P5/5B2 w - - 0 1"  # 1.Qf7 with 2.Qf8 and 2.Qd7; 1...Bc5 2.Qd7, 1...Nc5 2.Qf8
KEY = "1.Qf7! Two threats: 2.Qf8 and 2.Qd7. "
BOTH = {"Qf7 h2 Qf8", "Qf7 h2 Qd7"}


@pytest.mark.parametrize(
    "told",
    [
        "1...h2 both threats work.",
        "1...h2: either threat.",
        "If 1...h2 then all the threats go through.",
        "On h2 either will do.",
        "Pawn to h2? You can have both.",
        "The pawn to h2, and both mates are still there.",
    ],
)
def test_all_threats_are_carried_out(told: str) -> None:
    assert placed(TWO, KEY + told) >= BOTH


def test_any_other_move_leaves_both() -> None:
    found = placed(TWO, KEY + "1...Bc5 2.Qd7. 1...Nc5 2.Qf8. Any other move, and both threats are good.")
    assert found >= {*BOTH, "Qf7 e4 Qf8", "Qf7 e4 Qd7"}


def test_what_stops_them_is_no_answer() -> None:
    assert not placed(TWO, KEY + "1...h2 hardly stops both threats.") & BOTH


def test_the_same_is_all_that_was_answered() -> None:
    found = placed(TWO, "1.Qf7! 1...h2 2.Qf8 or 2.Qd7, and the same on 1...e4.")
    assert found >= {"Qf7 e4 Qf8", "Qf7 e4 Qd7"}


def test_what_does_not_answer_is_not_told_again() -> None:
    assert "Qf7 Bc5 Qf8" not in placed(TWO, "1.Qf7! 1...h2 2.Qf8 or 2.Qd7; 1...Bc5 the same.")


def test_likewise_speaks_of_what_follows_an_answer_without_a_move() -> None:
    found = placed(TWO, KEY + "On h2 either will serve; likewise on 1...e4.")
    assert found >= {*BOTH, "Qf7 e4 Qf8", "Qf7 e4 Qd7"}
