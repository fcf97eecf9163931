"""Why another mate fails behind a defence, and what could be played in the diagram, in words that tell no move.

The positions are of our own making; what is true in them is what the prover says.
"""

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from test_walk_parries import grounds

GUARDS = "6b1/6p1/1K2N2r/4k3/6Q1/5R2/8/2B2n2 w - - 0 1"  # 1.Kc5 threatens 2.Qf5 and 2.Bb2
FLIGHTS = "3NK3/r1p5/2R5/4b3/5k2/2nQ4/2B5/8 w - - 0 1"  # 1.Rg6 threatens 2.Ne6 and 2.Qg3
BLOCKS = "1n2K3/8/3k4/3P4/4Q3/7N/1r1BR1p1/b7 w - - 0 1"  # 1.Qc4 threatens 2.Re6 and 2.Bf4
AFTER_CHECKS = "Rr6/r7/2R5/k7/1p1K4/8/p4n2/Q5B1 w - - 0 1"  # 1.Kc4 threatens 2.Rxa7 and 2.Qxa2
HANGS = "n7/4PP2/2Pk1p1N/6P1/5NP1/2Q5/8/K7 w - - 0 1"  # 1.f8=Q; in the diagram 1...Kxe7 and 1...fxg5 are captures


@pytest.mark.parametrize(
    ("fen", "text", "line"),
    [
        (FLIGHTS, "1.Rg6! 1...Bh8, and e5 is open to the king: 2.Qg3#.", "Rg6 Bh8 Ne6 Ke5"),
        (FLIGHTS, "1.Rg6! 1...Ne4 2.Qxe4#. The f5 square would be free after 2.Ne6+.", "Rg6 Ne4 Ne6 Kf5"),
        (BLOCKS, "1.Qc4! 1...Rb7 (against the check it has e5 for its bishop to interpose) 2.Re6#.", "Qc4 Rb7 Bf4 Be5"),
        (GUARDS, "1.Kc5! 1...Bh7, and she would only be taken on f5, 2.Bb2#.", "Kc5 Bh7 Qf5 Bxf5"),
        (
            AFTER_CHECKS,
            "1.Kc4! Rook to b6. If I take the rook on a7 it steps back to a6. So the queen takes a2, mate.",
            "Kc4 Rb6 Rxa7 Ra6",
        ),
    ],
)
def test_an_escape_is_told_by_its_square_and_its_manner(fen: str, text: str, line: str) -> None:
    assert line in grounds(fen, text)


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("1.f8=Q! The pawn on e7 was en prise to the king in the diagram.", "-- Kxe7"),
        ("1.f8=Q! The pawn on g5 was hanging to the pawn on f6.", "-- fxg5"),
    ],
)
def test_a_capture_of_the_diagram_is_told_by_its_men(text: str, line: str) -> None:
    assert line in grounds(HANGS, text)


@pytest.mark.parametrize(
    ("fen", "text", "line"),
    [
        (FLIGHTS, "1.Rg6! 1...Bh8 2.Qg3#. The queen is fond of e5.", "Rg6 Bh8 Ne6 Ke5"),  # neither who nor how
        (GUARDS, "1.Kc5! 1...Bh7 2.Bb2#.", "Kc5 Bh7 Qf5 Bxf5"),
        (HANGS, "1.f8=Q! Nothing hangs here, and the pawns stay where they are.", "-- fxg5"),
    ],
)
def test_too_little_tells_no_escape(fen: str, text: str, line: str) -> None:
    assert line not in grounds(fen, text)


def test_a_mate_that_fails_by_what_is_told_beside_it_is_not_claimed() -> None:
    text = (
        "FEN: 8/8/1R3P1p/7Q/2r1k3/Ppp1P3/7P/3NKb2 w - - 0 1\nMate in two.\n\n1.Rd6! Rook to c5, right, and now on "
        "queen d5 he takes me. But hey, rook d4!\n"
    )
    rules = {found.finding.rule for found in check_text("told.txt", text, Options()).findings}
    assert "answer-fails" not in rules
