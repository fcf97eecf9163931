"""What a man may do, told as a number of leaps, and mates told by a word that points back to squares."""

import pytest
from test_false_mates import errors
from test_walk_all_threats import TWO
from test_walk_print import ROOK, placed


@pytest.mark.parametrize(
    "told",
    [
        "The rook has two leaps, b3 and b8. Say b3, then he goes king to g6.",
        "So the other one then, the rook: it has two jumps, to b3 and b8. Say b3. He goes king to g6.",
        "The rook has two places to go that look the same, b3 and b8. If b3 then king to g6.",
    ],
)
def test_one_of_two_leaps_is_gone_on_with(told: str) -> None:
    found = placed(ROOK, told)
    assert found >= {"Rb3", "Rb8", "Rb3 Kg6"} or found >= {"Rb3", "Rb8"}
    assert "Rb8 Kg6" not in found


def test_a_leap_that_solves_is_no_try() -> None:
    told = "The rook has two leaps, g4 and b8. Say b8, then the knight goes to g5. So rook to g4 is the key."
    assert errors(f"FEN: {ROOK}\nMate in two.\n\n{told}\n") == []


@pytest.mark.parametrize(
    "told",
    [
        "She looks at f8 and d7, where she means to mate.",
        "From there she sees f8 and d7, and that's where the mates come.",
        "She is eyeing both f8 and d7 now, she comes in there and it is mate.",
    ],
)
def test_mates_where_she_looks(told: str) -> None:
    assert placed(TWO, f"1.Qf7! {told}") >= {"Qf7 -- Qf8", "Qf7 -- Qd7"}


@pytest.mark.parametrize("told", ["She guards d7, and there is no mate.", "She guards d7, so there is a mate, 2.Qf8."])
def test_there_is_no_place(told: str) -> None:
    assert "Qf7 -- Qd7" not in placed(TWO, f"1.Qf7! {told}")


@pytest.mark.parametrize(
    "told", ["If 1...h2, there is a mate each time.", "Whatever the h-pawn does, mate follows every time."]
)
def test_a_mate_each_time_is_the_threat(told: str) -> None:
    assert "Qf7 h2 Qd7" in placed(TWO, f"1.Qf7! It threatens 2.Qd7. {told}")


def test_a_move_that_mates_each_time_is_the_answer() -> None:
    assert "Qf7 h2 Qf8" in placed(TWO, "1.Qf7! It threatens 2.Qd7. If 1...h2, then queen f8 is mate each time.")
