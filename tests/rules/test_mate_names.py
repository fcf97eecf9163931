"""Named mates: which positions bear a name, which do not, and which are left undecided.

The definitions are common practice, no source; that of the pure mate (each square of the king's field
is denied for exactly one reason) stands in encyclopedias.
"""

import chess
import pytest
from keyproof.rules.play.mating_net import mating_net
from keyproof.rules.reasons.pictures import PICTURES, UNSURE

SMOTHERED = "6rk/5Npp/8/8/8/8/8/K7 b - - 0 1"
GUARDED_INSTEAD = "6rk/5N1p/8/8/8/8/8/K5R1 b - - 0 1"
BACK_RANK = "3R2k1/5ppp/8/8/8/8/8/K7 b - - 0 1"
TWO_KINGS = "k2R4/8/1K6/8/8/8/8/8 b - - 0 1"
EPAULETTE = "3rkr2/8/4Q3/8/8/8/8/K7 b - - 0 1"
CROSSING = "2kr4/3p4/B7/8/5B2/8/8/K7 b - - 0 1"
ONE_BISHOP = "k1K5/p7/N7/8/8/8/6B1/8 b - - 0 1"
SECOND_ROOK = "k2R4/8/1K6/8/8/8/7R/8 b - - 0 1"
PAWN_BY = "k2R4/8/1K6/8/8/8/7P/8 b - - 0 1"
PROTECTED_QUEEN = "1k6/1Q6/1K6/8/8/8/8/8 b - - 0 1"
MIRROR = "8/B2K4/5p2/3k4/5P2/p1pQ3p/r7/b7 b - - 1 2"  # Good Companion, 1917: 1.Qb1 c3 2.Qd3


@pytest.mark.parametrize(
    ("name", "fen"),
    [
        ("smothered", SMOTHERED),
        ("back-rank", BACK_RANK),
        ("epaulette", EPAULETTE),
        ("crossing", CROSSING),
        ("pure", SMOTHERED),
        ("model", SMOTHERED),
        ("pure", TWO_KINGS),
        ("model", TWO_KINGS),
        ("ideal", TWO_KINGS),
        ("mirror", MIRROR),
        ("model", PAWN_BY),
    ],
)
def test_a_mate_that_bears_the_name(name: str, fen: str) -> None:
    board = chess.Board(fen)
    assert PICTURES[name](board, mating_net(board)) is None


@pytest.mark.parametrize(
    ("name", "fen", "fault"),
    [
        ("smothered", BACK_RANK, "the white rook on d8 gives check, not a knight"),
        ("back-rank", SMOTHERED, "the white knight on f7 gives check, not along the rank"),
        ("epaulette", BACK_RANK, "the king has no men of his own on both sides of him"),
        ("crossing", BACK_RANK, "no bishop takes part in it"),
        ("crossing", ONE_BISHOP, "two bishops do not take part in it"),
        ("mirror", BACK_RANK, "the black pawn on f7 stands next to the king"),
        ("pure", PROTECTED_QUEEN, "a7 is guarded by the white king on b6 and the white queen on b7"),
        ("model", SECOND_ROOK, "the white rook on h2 takes no part in it"),
        ("ideal", PAWN_BY, "the white pawn on h2 takes no part in it"),
    ],
)
def test_a_mate_that_no_usage_calls_so(name: str, fen: str, fault: str) -> None:
    board = chess.Board(fen)
    assert PICTURES[name](board, mating_net(board)) == fault


@pytest.mark.parametrize(
    ("name", "fen"),
    [("smothered", GUARDED_INSTEAD), ("back-rank", TWO_KINGS)],
)
def test_a_mate_that_some_call_so(name: str, fen: str) -> None:
    board = chess.Board(fen)
    assert PICTURES[name](board, mating_net(board)) == UNSURE
