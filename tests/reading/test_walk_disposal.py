"""All moves of a man who is told to have so many, or of whose moves it is said that none helps, with what answers them.

The position is of our own making; what is true in it is what the prover and python-chess say.
"""

import pytest
from test_walk_counters import TOLD, VIEW
from test_walk_print import placed

ALL = {f"Qc7 {reply} Qg7" for reply in ("Nd3", "Nxa4", "Nbc4", "Nbd1")}


@pytest.mark.parametrize(
    "words",
    [
        "The knight on b2 has four moves and none of them stops queen g7.",
        "The knight on b2 has four moves; against each of them queen g7.",
        "The knight on b2 has four moves and none of them does a thing, queen g7 every single time.",
        "None of the moves of the knight on b2 stops queen g7.",
        "No move of the knight on b2 helps: queen g7.",
        "The four moves of the knight on b2 are all met by queen g7.",
    ],
)
def test_all_moves_of_a_man_have_one_answer(words: str) -> None:
    assert placed(VIEW, TOLD + words) >= ALL


@pytest.mark.parametrize(
    "words",
    [
        "The knight on b2 has four moves. Queen g7 is threatened.",
        "The knight on b2 has four moves, d3 among them. Queen g7.",
        "The knight on b2 has four moves and knight d3 is one of them, queen g7.",
        "The knight on b2 has but one reply, d3, and it suffices.",
    ],
)
def test_a_number_of_moves_is_no_move(words: str) -> None:
    assert not placed(VIEW, TOLD + words) & (ALL - {"Qc7 Nd3 Qg7"})
