"""Moves that are only supposed, asked about or told of the man named before, and what answers them where they stand.

The positions are of our own making, or those of other tests of this folder.
"""

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from test_walk_print import placed

ROOK = "6Q1/7p/5P2/7k/1R6/7n/3K4/8 w - - 0 1"  # 1.Rg4; Nf2, Nf4 and Ng1 2.Qg5, h6 2.Qg6


def rules(words: str) -> set[str]:
    result = check_text("a.txt", f"{ROOK}\nMate in two.\n\n{words}\n", Options(fresh=True))
    return {each.finding.rule for each in result.findings}


@pytest.mark.parametrize(
    "words",
    [
        "Now that black knight on h3. It hops to f4. Then queen g5 is mate.",
        "And the knight? It jumps to f4, and the queen to g5 mates.",
    ],
)
def test_it_is_the_man_of_the_sentence_before(words: str) -> None:
    assert "Rg4 Nf4" in placed(ROOK, f"The key is rook g4. Threat: queen g5. {words}")


@pytest.mark.parametrize(
    "words", ["Knight to f4. — Ah, now queen g6, mate.", "If it's the knight that hops, f4, then queen g6 is mate."]
)
def test_what_answers_a_reply_is_no_threat(words: str) -> None:
    assert "check-not-mate" in rules(f"The key is rook g4. If pawn h6, queen g6 mate. {words}")


def test_a_one_is_no_square_where_nothing_leads_to_one() -> None:
    assert "Qa1" not in placed("8/8/8/k7/8/8/1Q6/2K5 w - - 0 1", "Type a one if you can hear me.")
