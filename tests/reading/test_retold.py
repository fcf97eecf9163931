"""Positions told as another with a change: who is lifted and put, where all other men are said to stay.

The positions are those of the demonstration columns or made from them. Manners of telling: common practice, no source.
"""

import chess
import pytest
from keyproof.grammar.gleaning.changes import changed
from keyproof.grammar.gleaning.tellings import beads_of
from keyproof.grammar.spans import Span
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text

FIRST = """White: king f2, rook e5, knight e6. Black: king g4, pawn h5. White mates in two.
1.Kg2! Kh4 2.Re4 mate, 1...h4 2.Rg5 mate.
"""
BOARD = "8/8/4N3/4R2p/6k1/8/5K2/8"


def shown(text: str) -> list[str]:
    return [each.fen.split()[0] for each in check_text("a.txt", text, Options(fresh=True)).puzzles if each.fen]


@pytest.mark.parametrize(
    ("told", "board"),
    [
        ("Now lift the knight from e6 and put it on e4.", "8/8/8/4R2p/4N1k1/8/5K2/8"),
        ("The pawn is taken off h5.", "8/8/4N3/4R3/6k1/8/5K2/8"),
        ("Off with the pawn on h5. A black pawn on h6 instead.", "8/8/4N2p/4R3/6k1/8/5K2/8"),
        ("Put a white pawn on a2 and a black one on a3.", None),
        ("Put white pawns on a2 and b2.", "8/8/4N3/4R2p/6k1/8/PP3K2/8"),
        ("The knight isn't on e6 but on c6.", "8/8/2N5/4R2p/6k1/8/5K2/8"),
        ("The rook stands well on e5.", None),
    ],
)
def test_men_are_lifted_and_put(told: str, board: str | None) -> None:
    string = beads_of(told, Span(0, len(told)))
    found = changed(string, chess.BaseBoard(BOARD).piece_map(), "english")
    boards = []
    for each in found:
        made = chess.BaseBoard(None)
        made.set_piece_map(each.pieces)
        boards.append(made.board_fen())
    assert (boards[0] if boards else None) == board or (board is None and BOARD not in boards)


@pytest.mark.parametrize(
    "told",
    [
        "The rest stays where it is, and nobody could ask for more on e5 or h5.",
        "Exactly as he said, the king on g4 has no square.",
        "Everything else stays as it is: the knight on e6 guards g5.",
    ],
)
def test_words_about_the_same_position_make_no_other(told: str) -> None:
    assert shown(FIRST + told) == [BOARD]


@pytest.mark.parametrize(
    ("told", "board"),
    [
        ("Now lift the rook from e5 and put it on c5; leave everything else.", "8/8/4N3/2R4p/6k1/8/5K2/8"),
        ("Exactly as before, except that the king is not on f2, he is on h1. Mate in two.", "8/8/4N3/4R2p/6k1/8/8/7K"),
        ("The white king goes off f2; he lives on f1 now. All other men where they were.", "8/8/4N3/4R2p/6k1/8/8/5K2"),
    ],
)
def test_a_twin_is_told_by_what_is_changed(told: str, board: str) -> None:
    assert shown(f"{FIRST}{told}\nThe king goes to g2 again.\n") == [BOARD, board]


@pytest.mark.parametrize(
    ("listed", "told", "board"),
    [
        ("king g4, pawn h6", "Correction: the black pawn is on h5 and not on h6.", BOARD),
        ("king g4, pawn h6", "Oops, the black pawn goes off h6, I meant h5.", BOARD),
        ("king g4", "EDIT: sorry, add a black pawn at h5.", BOARD),
        ("king g4, pawn h5", "Correction: the key is king g2, not king g1, and the pawn on h5 is no matter.", BOARD),
    ],
)
def test_a_position_is_put_right_behind_its_solution(listed: str, told: str, board: str) -> None:
    assert shown(FIRST.replace("king g4, pawn h5", listed) + told + "\n") == [board]


def test_a_twin_that_is_compared_needs_no_play_before_it() -> None:
    told = "White: king f2, rook e5, knight e6. Black: king g4, pawn h5. Mate in two.\n"
    twin = "B. Exactly as A, with the white king on h1 and not on f2.\nSolution of both: 1.Kg2! Kh4 2.Re4 mate.\n"
    assert shown(f"A. {told}{twin}") == [BOARD, "8/8/4N3/4R2p/6k1/8/8/7K"]
