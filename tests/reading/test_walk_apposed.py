"""Vague words and the exact ones right behind them tell one move: "the queen drops back, queen to d2"."""

import pytest
from test_false_mates import errors

HEAD = "FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1\nMate in two.\n\n"  # 1.Kg2
LINES = "If the king goes to h4, rook to e4 is mate. If the pawn goes to h4, rook to g5 is mate.\n"


@pytest.mark.parametrize(("square", "rules"), [("e3", ["key-fails"]), ("g2", [])])
@pytest.mark.parametrize(
    "words",
    [
        "Here it is. The king steps aside, king to {}!",
        "Here it is. The king steps aside: king {}!",
        "Here it is. Our king makes way - K{}!",
        "The key is that the king moves, king to {}.",
    ],
)
def test_the_exact_words_say_which_first_move_is_meant(words: str, square: str, rules: list[str]) -> None:
    """The vague ones are not taken for the key, once they are told to mean another."""
    assert errors(f"{HEAD}{words.format(square)} {LINES}") == rules


@pytest.mark.parametrize(("square", "rules"), [("g5", []), ("e3", ["mate-without-check"])])
def test_the_exact_words_say_which_answer_is_meant(square: str, rules: list[str]) -> None:
    told = f"If the pawn goes to h4, the rook swings over, rook to {square}, mate."
    assert errors(f"{HEAD}The key is king to g2. If the king goes to h4, rook to e4 is mate. {told}\n") == rules


def test_what_goes_on_from_vague_words_is_another_move() -> None:
    assert errors(f"{HEAD}The king makes way, king to h4, rook to e4, mate. If pawn h4, rook to g5 is mate.\n") == []
