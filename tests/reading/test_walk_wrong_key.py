"""Lines told of a key that does not solve are those of the one that does."""

from test_walk_print import ROOK, placed


def test_the_lines_of_a_key_told_wrongly() -> None:
    lines = placed(
        ROOK,
        "The key is rook to e four. If the pawn goes to h six, queen g six mates. If the king goes to h six, the rook "
        "mates on h four. If the knight goes to f four, queen g five mates.",
    )
    assert {"Rg4 h6 Qg6", "Rg4 Kh6 Rh4", "Rg4 Nf4 Qg5"} <= lines
