"""Men told by people who do not hurry: one more of a kind, everything said once more, and what a man is there for.

The ways of telling are those of many imagined speakers: common practice, no source.
"""

import chess
import pytest
from keyproof.grammar.told_men import find_told

ONE_MORE = {
    "another one": (
        "I have the white king at home, e1, a rook on h1, another one on h3, bishop a4. Black: king a1, pawn d3.",
        "8/8/8/8/B7/3p3R/8/k3K2R",
    ),
    "another": (
        "White has a king on g1, a knight on d5, another on f5, pawn h2. Black has a king on h8 and a pawn on h7.",
        "7k/7p/8/3N1N2/8/8/7P/6K1",
    ),
    "a second one": (
        "White's king is on c6, a bishop on b3, a second one on b4. Black's king is on a8, pawn a7.",
        "k7/p7/2K5/8/1B6/1B6/8/8",
    ),
    "in a sentence of its own": (
        "White king f6. White rook a1. Another one on b2. Black king h8, black pawn h7.",
        "7k/7p/5K2/8/8/8/1R6/R7",
    ),
    "far from the others": (
        "White: king b1, rook f4. Black: king on a3, with a pawn on c3 and another, well out of the way, on h5.",
        "8/8/8/7p/5R2/k1p5/8/1K6",
    ),
    "another man, not another of these": (
        "White has the king on f6, a rook on a1, and another man, a knight, on g5. Black: king h8, pawn h7.",
        "7k/7p/5K2/6N1/8/8/8/R7",
    ),
}
ONCE_MORE = {
    "once more": (
        "The King stands on b1. The Rook stands on f4. There is one Pawn, on f2. Once more: King, b1; Rook, f4."
        " Against them the black King on a3, with a Pawn on c3.",
        "8/8/8/8/5R2/k1p5/5P2/1K6",
    ),
    "once again": (
        "White has a king on c6 and a queen on d4. Once again, king c6, queen d4. Black has a king on a8, pawn a7.",
        "k7/p7/2K5/8/3Q4/8/8/8",
    ),
    "to look after him": (
        "White king e1, rook h1. Black's king is on a1 and he has two pawns to look after him, d3 and e4.",
        "8/8/8/8/4p3/3p4/8/k3K2R",
    ),
    "looking after her": (
        "White: king g1, queen h5. Black has a king on g8, and looking after him pawns on f7 and g7.",
        "6k1/5pp1/8/7Q/8/8/8/6K1",
    ),
    "to guard him": (
        "White king e1, rook h1. Black has the king on a1 and two pawns to guard him on d3 and e4.",
        "8/8/8/8/4p3/3p4/8/k3K2R",
    ),
}


@pytest.mark.parametrize(("words", "expected"), [*ONE_MORE.values(), *ONCE_MORE.values()], ids=[*ONE_MORE, *ONCE_MORE])
def test_men_are_told_at_length(words: str, expected: str) -> None:
    (told,) = find_told(words)
    assert [fault.message for fault in told.faults] == []
    board = chess.Board(None)
    board.set_piece_map(told.pieces)
    assert board.board_fen() == expected


@pytest.mark.parametrize(
    "words",
    [
        "After that the white king is on e1, the rook on h1, and the black king on a1, pawn d3.",
        "White king on e1, rook h1 to guard e1, black king moves to a1, pawn d3.",
    ],
)
def test_what_comes_about_is_no_position(words: str) -> None:
    assert [told for told in find_told(words) if not told.faults] == []
