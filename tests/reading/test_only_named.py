"""Words that only name a move told beside them, or a man, are no moves of their own."""

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text

DIAGRAM = "FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1\nMate in two.\n\n"  # 1.Kg2: Kh4 2.Re4, h4 2.Rg5
SOLUTION = "The key is king to g2. If king h4, rook to e4, mate. If pawn to h4, rook to g5, mate."


@pytest.mark.parametrize(
    "said",
    [
        "The rook check 1.Re4+? fails to 1...Kh3!",
        "You may want to check with the rook, rook to e4, but the king goes to h3.",
        "The rook moves. 1.Re3? h4! refutes that.",
        "The h-pawn? It stands still so far.",
        "There is the king. Black wants to move.",
        "The knight can move.",
        "As soon as the rook moves, the king is free.",
    ],
)
def test_they_are_not_counted(said: str) -> None:
    (puzzle,) = check_text("a.txt", f"{DIAGRAM}{said} {SOLUTION}\n", Options()).puzzles
    assert puzzle.checked == puzzle.move_mentions


BATTERY = "FEN: 8/3K3Q/4B3/3R4/2k5/8/8/8 w - - 0 1\nMate in two.\n\n"  # 1.Qb1: Kc3 2.Rd3
MOVES = 5  # that are told in all


@pytest.mark.parametrize(
    "said",
    [
        "our guns stand loaded so if the rook moves aside the bishop checks and rook to d4 is even double check "
        "but the king takes it.",
        "the engine hums along and once the rook goes away the bishop gives check so rook to d4 is double check "
        "but it is no mate because the king takes it.",
    ],
)
def test_who_gives_check_once_another_leaves(said: str) -> None:
    text = f"{BATTERY}{said} The key is queen to b1. If king to c3, rook to d3, mate.\n"
    (puzzle,) = check_text("a.txt", text, Options()).puzzles
    assert puzzle.checked == puzzle.move_mentions == MOVES
