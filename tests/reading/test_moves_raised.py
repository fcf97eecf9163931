"""Moves that nobody asserts have their place all the same where what follows bears it out."""

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text

DIAGRAM = "FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1\nMate in two.\n\n"  # 1.Kg2: Kh4 2.Re4, h4 2.Rg5
SOLUTION = "The key is king to g2. If king h4, rook to e4, mate. If pawn to h4, rook to g5, mate."


def left(said: str) -> int:
    """Return of how many moves the place is not sure."""
    (puzzle,) = check_text("a.txt", f"{DIAGRAM}{said} {SOLUTION}\n", Options()).puzzles
    return puzzle.move_mentions - puzzle.checked


@pytest.mark.parametrize(
    "said",
    [
        "What about rook to e4, check? The king goes to h3.",
        "Shouldn't we try rook to e4? King to h3 escapes.",
        "If it were Black's move, pawn to h4 would be met by rook to g5 mate.",
    ],
)
def test_what_is_asked_and_answered_or_supposed_and_true_is_placed(said: str) -> None:
    assert left(said) == 0


@pytest.mark.parametrize("said", ["The prettiest is rook to e4, and the king goes to h3."])
def test_nor_do_words_that_nobody_knows_part_a_move_from_its_place(said: str) -> None:
    assert left(said) == 0


@pytest.mark.parametrize("said", ["Should we perhaps play rook to e4? Think about it.", "How about rook to e4?"])
def test_but_not_what_is_only_asked(said: str) -> None:
    assert left(said) == 1
