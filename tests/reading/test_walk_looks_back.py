"""What refutes a first move, told by what was told before or by words beside it: its replies are known by the proof."""

import pytest
from test_walk_print import BISHOPS, ROOK, placed

PAIR = "1.Qe8+ Kh6 and 1...Kg5."  # 1.Qf7+ has the same two, 1.Qxh7+ the second alone


@pytest.mark.parametrize(
    "words",
    [
        "Queen f7 check leaves both of these.",
        "1.Qf7+ has the same pair.",
        "Nor does 1.Qf7+ help.",
        "1.Qf7+ too.",
        "1.Qf7+ adds nothing, those are there as well.",
        "1.Qf7+ has that second one, and h6 besides.",
        "1.Qf7+? The two again.",
    ],
)
def test_replies_of_the_try_before(words: str) -> None:
    assert placed(ROOK, f"1.Rg4! It waits for the king. {PAIR} {words}") >= {"Qf7 Kh6", "Qf7 Kg5"}


@pytest.mark.parametrize(
    ("words", "tongue"),
    [
        ("1.De8+ Kh6 und 1...Kg5. Auch nach 1.Df7+.", "german"),
        ("1.De8+ Rh6 et 1...Rg5. Pareillement 1.Df7+.", "french"),
        ("1.De8+ Rh6 y 1...Rg5. Tampoco 1.Df7+.", "spanish"),
    ],
)
def test_in_other_languages(words: str, tongue: str) -> None:
    assert placed(ROOK, words, tongue) >= {"Qf7 Kh6", "Qf7 Kg5"}


def test_only_those_that_refute_it() -> None:
    """Of the replies told before, those that refute the first move at hand; 1.Qxh7+ takes the pawn that guards h6."""
    told = placed(ROOK, f"{PAIR} 1.Qxh7+ too.")
    assert "Qxh7 Kg5" in told
    assert "Qxh7 Kh6" not in told


@pytest.mark.parametrize(
    ("words", "line"),
    [
        ("Her to d six, and she is lost.", "Qd6 Kxd6"),
        ("1.Qd6+? A present.", "Qd6 Kxd6"),
        ("1.Qd6+, and there she hangs.", "Qd6 Kxd6"),
    ],
)
def test_a_man_that_is_lost(words: str, line: str) -> None:
    assert line in placed(BISHOPS, words)


def test_the_capture_told_again_takes_the_man_that_moved() -> None:
    told = placed(ROOK, "1.Qg6+? Kxg6 or 1...hxg6. 1.Rh4+ fares the same.")
    assert "Rh4 Kxh4" in told


def test_several_first_moves_of_which_one_sentence_speaks() -> None:
    told = placed(ROOK, f"{PAIR} 1.Qf7+. 1.Qxh7+. Each time it is one of these.")
    assert told >= {"Qf7 Kh6", "Qf7 Kg5", "Qxh7 Kg5"}


def test_a_square_that_is_only_named() -> None:
    assert "Qf7 Kh6" not in placed(ROOK, f"{PAIR} From f7 she would see h5.")


def test_a_square_named_beside_it() -> None:
    assert "Rb5 Kh4" in placed(ROOK, "1.Rb5+ forgets all about h4.")


@pytest.mark.parametrize(
    "words",
    [
        f"{PAIR} 1.Rb7 too.",  # others refute it
        f"{PAIR} 1.Qd5+ too.",  # of its three one was told
        f"{PAIR} 1.Qf7+ was my second thought.",  # nothing is said of it
        f"{PAIR} The same. 1.Rg4! 1.Qf7+ was my second thought.",
    ],
)
def test_what_is_not_told_so(words: str) -> None:
    told = placed(ROOK, words)
    assert not any(line.startswith(("Rb7 ", "Qd5 ", "Qf7 ")) for line in told)


def test_a_word_that_only_leads_to_a_first_move_adds_nothing_to_its_replies() -> None:
    told = placed(ROOK, f"{PAIR} Nor 1.Qf7+: Kh6.")
    assert "Qf7 Kh6" in told
    assert "Qf7 Kg5" not in told
