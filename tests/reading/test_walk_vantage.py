"""What a man does from a square told before his name: he has gone there if he does not stand there."""

import pytest
from test_walk_print import ROOK, placed


@pytest.mark.parametrize(
    "words",
    [
        "Only one move of the knight helps. From f4 it guards g6, but then queen g5 mates.",
        "From f4 the knight guards g6, but then queen g5 mates.",
        "And on f4, his knight also covers g6, and then it is queen g5 mate.",
    ],
)
def test_a_man_does_something_from_where_he_has_gone(words: str) -> None:
    assert "Rg4 Nf4 Qg5" in placed(ROOK, f"Rook to g4 is the key. {words}")


@pytest.mark.parametrize(
    "words", ["From g4 it guards h4.", "On g4 the rook covers h4.", "From g8, our queen guards g5."]
)
def test_from_where_he_stands_he_goes_nowhere(words: str) -> None:
    assert placed(ROOK, f"Rook to g4 is the key. {words}") == {"Rg4"}
