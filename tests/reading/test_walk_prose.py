"""What letters and essays do: men named without their square, threats left alone, answers before the defence.

The positions are of our own making; what is true in them is what the prover says.
"""

import pytest
from test_walk_print import placed

ARRIVES = "k7/3P4/2N5/8/3p2R1/8/1K6/8 w - - 0 1"  # 1.d8=N; queen, rook fail to Kb7, the bishop also to d3
LEAVES = "8/3p4/1B6/2P1K3/4PQ2/2p5/2pP4/5Nk1 w - - 0 1"  # 1.Qf3 threatens 2.c6

BATTERY = "N7/8/3P4/4Q3/4p3/3p1p2/N7/1k2K2R w K - 0 1"  # 1.Nb4; 1.Kf2+ and 1.Kd2+ fail to Kxa2


@pytest.mark.parametrize(
    "text",
    [
        "Make it a queen: it is check, and the king slips to b7. Make it a rook, and the same thing happens.",
        "Queen it, and the king goes to b7. Crown a rook, and again it is Kb7.",
        "A queen on d8 gives check, but the king steps to b7. A rook on d8 meets the same answer.",
        "If you choose a queen, he plays Kb7. With a rook on d8 nothing changes.",
    ],
)
def test_a_pawn_becomes_what_is_named(text: str) -> None:
    assert placed(ARRIVES, text) >= {"d8=Q Kb7", "d8=R Kb7"}


def test_a_new_man_that_guards_has_arrived() -> None:
    text = "A bishop on d8 guards a5, yet it has two answers, Kb7 and d3."
    assert placed(ARRIVES, text) >= {"d8=B Kb7", "d8=B d3"}


@pytest.mark.parametrize(
    "words",
    [
        "Every promotion on c1 leaves the threat unanswered, as does 1...cxd2.",
        "1...cxd2 does not stop the threat. Any promotion on c1 allows the threat.",
    ],
)
def test_a_threat_left_alone_is_carried_out(words: str) -> None:
    lines = placed(LEAVES, f"The key, 1.Qf3!, threatens 2.c6. {words}")
    assert lines >= {"Qf3 cxd2 c6", "Qf3 c1=Q c6", "Qf3 c1=N c6"}


def test_a_capture_refutes_without_a_name() -> None:
    assert "Qf2 Kxf2" in placed(LEAVES, "The checks fail: 1.Qf2+ to the capture, 1.Qg3+ to Kxf1.")


@pytest.mark.parametrize(
    "words",
    [
        "2.c6 mates if he takes on d2",
        "The pawn mates on c6 if the pawn takes on d2",
        "2.c6# is the answer to 1...cxd2",
        "c6 mate, that's for cxd2",
        "Pawn to c6, mate, is kept for pawn takes d2",
        "2.c6 is what happens after 1...cxd2",
        "Pawn c6 mate is in store for cxd2",
        "c6 is needed against cxd2",
        "c6 only works once he has taken on d2",
        "So pawn c6 mates after 1...cxd2, and after 1...d6 2.c7",
    ],
)
def test_an_answer_may_stand_before_its_defence(words: str) -> None:
    assert "Qf3 cxd2 c6" in placed(LEAVES, f"1.Qf3! is the key. {words}.")


@pytest.mark.parametrize(
    "words",
    [
        "Nothing can stop the king from going to b7",
        "There is no stopping the king from going to b7",
        "Nothing keeps him from stepping to b7",
        "We cannot stop him going to b7",
    ],
)
def test_what_nothing_keeps_from_being_played_is_played(words: str) -> None:
    assert "d8=Q Kb7" in placed(ARRIVES, f"1.d8=Q+? {words}.")


@pytest.mark.parametrize("words", ["The queen keeps him from going to b7", "She stops the king reaching b7"])
def test_what_something_keeps_from_being_played_is_not(words: str) -> None:
    assert "d8=Q Kb7" not in placed(ARRIVES, f"1.d8=Q+? {words}.")


def test_a_man_put_on_the_board_has_not_moved() -> None:
    assert placed(LEAVES, "Put a white knight on g3 and all is mended.") == set()


@pytest.mark.parametrize(
    "words",
    [
        "1.Kf2+ fails: the knight on a2 falls",
        "After 1.Kf2+ the knight on a2 is lost",
        "1.Kf2+, and the knight on a2 drops off",
    ],
)
def test_what_falls_is_taken(words: str) -> None:
    assert "Kf2 Kxa2" in placed(BATTERY, f"{words}. The key is 1.Nb4.")


def test_each_time_the_same_man_falls() -> None:
    lines = placed(BATTERY, "1.Nb4! So fail 1.Kf2+ and 1.Kd2+: each time the knight on a2 perishes.")
    assert lines >= {"Kf2 Kxa2", "Kd2 Kxa2"}


def test_what_he_has_may_be_few() -> None:
    assert "d8=Q Kb7" in placed(ARRIVES, "A queen on d8 gives check, but he has just b7 to run to.")


def test_a_rook_with_which_one_castles_has_not_castled() -> None:
    assert "O-O" not in placed(BATTERY, "1.Nb4! It is the castling rook that stands still, and nobody is in check.")
