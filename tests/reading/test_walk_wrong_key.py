"""Lines told of a key that does not solve are those of the one that does, and hide nothing of what it was called."""

import pytest
from test_false_mates import HEAD, errors
from test_walk_print import ROOK, placed


def test_the_lines_of_a_key_told_wrongly() -> None:
    lines = placed(
        ROOK,
        "The key is rook to e four. If the pawn goes to h six, queen g six mates. If the king goes to h six, the rook "
        "mates on h four. If the knight goes to f four, queen g five mates.",
    )
    assert {"Rg4 h6 Qg6", "Rg4 Kh6 Rh4", "Rg4 Nf4 Qg5"} <= lines


@pytest.mark.parametrize("called", ["is the move", "is the one", "is the key", "does the trick"])
@pytest.mark.parametrize(("square", "rules"), [("b8", ["key-fails"]), ("b7", [])])
def test_what_is_called_the_key_behind_it(called: str, square: str, rules: list[str]) -> None:
    """It is no answer and no threat of another first move, though the lines behind it are those of one that solves."""
    told = f"King to {square} {called}! Wherever the knight on g8 goes, the queen goes to c4, mate.\n"
    assert errors(HEAD + "King to b7 is quiet, perhaps. " * (square == "b8") + told) == rules
