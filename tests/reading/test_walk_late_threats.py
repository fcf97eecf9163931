"""Once replies are told, a move answers them: it is a threat only where the words speak of one.

The position is of our own making; what is true in it is what the prover and python-chess say.
"""

import pytest
from test_walk_at_once import found
from test_walk_likely import LEAVES  # 1.Qf3 threatens 2.c6; d6+ 2.cxd6, d5 2.c6 or 2.cxd6, others 2.c6
from test_walk_print import placed

ALIKE = "n7/1p6/1P6/1P6/8/2K5/4k1NQ/3N4 w - - 0 1"  # 1.Qg3 and the try 1.Qh3 both threaten 2.Qd3


@pytest.mark.parametrize(
    "text",
    [
        "Queen f3. The pawn goes to d6, check, and even then pawn c6 is mate.",
        "Queen f3. The pawn goes to d6, check. Then pawn c6, mate.",
        "1.Qf3! 1...d6+;        2.c6 mate.",
        "1.Qf3! 1. - d6+   2.c6 mate",
        "1.Qf3! 1...d6+.\n2.c6 mate",
        "1.Qf3! After 1...d6+ White may no longer play 2.Kd6, but 2.c6 is still mate.",
    ],
)
def test_an_answer_that_cannot_be_played_is_no_threat(text: str) -> None:
    assert any("c6" in words for _, words in found(LEAVES, text)), found(LEAVES, text)


@pytest.mark.parametrize(
    "text",
    [
        "Queen f3. If the pawn goes to d6, the pawn takes it, mate. And the threat? Pawn c6.",
        "Queen f3. If the pawn goes to d6, the pawn takes it, mate. One threat. Pawn c6 is the plain one.",
        "Queen f3. If the pawn goes to d6, the pawn takes it, mate. So what is he up to? Pawn c6.",
        "Queen f3. If the pawn goes to d6, the pawn takes it, mate. I want pawn c6, mate.",
        "Queen f3. If the pawn goes to d6, the pawn takes it, mate. The threat is pawn c6.",
        "Queen f3. If the pawn goes to d6, the pawn takes it, mate. After the key it is pawn c6, mate.",
    ],
)
def test_a_threat_may_be_told_late_if_it_is_called_so(text: str) -> None:
    assert placed(LEAVES, text) >= {"Qf3 d6 cxd6", "Qf3 -- c6"}


def test_one_man_may_be_named_by_where_he_goes_if_his_answer_follows() -> None:
    assert "Qf3 c1=B c6" in placed(LEAVES, "Queen f3. A bishop on c1 leaves pawn c6.")


def test_a_refutation_may_be_followed_by_what_does_not_answer_it() -> None:
    text = "1.Qf3! 1.Kd4? when 1...d6! From d4 the king guards no more: 2.c6 d5."
    assert "Kd4 d6 c6" in placed(LEAVES, text)


@pytest.mark.parametrize(
    "words",
    ["After any other move the pawn mates on c6", "Any other move pawn to c6 mate", "If he does anything else then c6"],
)
def test_words_for_all_other_moves_are_none_of_the_man_behind_them(words: str) -> None:
    assert "Qf3 cxd2 c6" in placed(LEAVES, f"Queen f3. If the pawn goes to d6, the pawn takes it, mate. {words}.")


def test_a_reply_led_from_by_if_is_not_passed_over_since_its_answer_fails() -> None:
    text = "Queen f3. If the pawn goes to c1, c6 is mate. And if he goes to d6 it is all one: pawn c6, mate as before."
    assert "Qf3 d6" in placed(LEAVES, text)


@pytest.mark.parametrize(
    "words",
    [
        "1...cxd2 does nothing.",
        "1...cxd2 comes too late.",
        "1...cxd2 changes nothing.",
        "1...cxd2 is no use.",
        "1...cxd2 does nothing to the threat.",
        "Captures on d2 do not disturb the threat.",
    ],
)
def test_a_reply_that_is_of_no_use_is_met_by_the_threat(words: str) -> None:
    assert "Qf3 cxd2 c6" in placed(LEAVES, f"1.Qf3! Threat 2.c6 mate. 1...d6 2.cxd6 mate. {words}")


@pytest.mark.parametrize("words", ["It threatens the same mate", "The same mate is threatened", "The same threat"])
def test_a_try_threatens_the_same_mate(words: str) -> None:
    refuted = "but it leaves f1 open, and 1...Kf1 or 1...Kxd1 holds."
    lines = placed(ALIKE, f"1.Qg3! Threat 2.Qd3 mate. 1.Qh3? {words}, {refuted}")
    assert {"Qh3 -- Qd3", "Qh3 Kf1", "Qh3 Kxd1"} <= lines


def test_a_square_that_is_left_free_is_nobodys_move() -> None:
    text = "1.Qf3! Threat 2.c6 mate. 1.Kd4? leaves c1 free, and 1...d6! holds."
    assert not any("c1" in line for line in placed(LEAVES, text))


@pytest.mark.parametrize("words", ["2.Qxc3 comes next", "and 2.Qg3+ is threatened"])
def test_what_would_be_no_mate_does_not_stand_for_the_threat(words: str) -> None:
    text = f"1.Qf3! Threat 2.c6 mate, {words}. 1...d6 2.cxd6 mate. 1...cxd2 does not stop the threat."
    assert "Qf3 cxd2 c6" in placed(LEAVES, text)


@pytest.mark.parametrize(
    "words",
    [
        "1...c1=Q 2.c6 mate (or any other promotion).",
        "1...c1=Q 2.c6 mate. Other promotions do not help.",
        "1...c1=Q 2.c6 mate. Any other promotion leaves the threat.",
    ],
)
def test_other_promotions_have_the_same_answer(words: str) -> None:
    lines = placed(LEAVES, f"1.Qf3! Threat 2.c6 mate. 1...d6 2.cxd6 mate. {words}")
    assert {"Qf3 c1=N c6", "Qf3 c1=R c6"} <= lines


@pytest.mark.parametrize(
    "words",
    [
        "1.Qh7?, 1.Qd6? and 1.Qh3? all threaten 2.Qd3 mate.",
        "The queen may go to h7, d6 or h3, and each time she threatens Qd3 mate.",
        "Queen to d6, h7 or h3? All of them threaten queen d3 mate, but he goes to f1.",
    ],
)
def test_a_threat_may_be_told_of_several_tries(words: str) -> None:
    assert {"Qh7 -- Qd3", "Qd6 -- Qd3", "Qh3 -- Qd3"} <= placed(ALIKE, f"1.Qg3! Threat 2.Qd3 mate. {words}")
