"""That nothing is threatened, told in a sentence without a move."""

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text

THREATENS = "8/p7/8/1N1K4/1R6/8/8/k7 w - - 0 1"  # 1.Nc3 threatens 2.Rb1#
WAITS = "8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1"  # 1.Kg2 does not


def rules(position: str, told: str) -> list[str]:
    """Return the rules of the findings in a talk."""
    text = f"{position}\n\nhere white mates in two\n{told}\n"
    return [each.finding.rule for each in check_text("talk.txt", text, Options()).findings]


@pytest.mark.parametrize(
    "words",
    ["and mark my words, there is no threat at all.", "That is a pure zugzwang.", "Nothing is threatened here."],
)
def test_false_right_behind_the_key(words: str) -> None:
    """However the rest was told."""
    told = f"the horse on b5 hops away to c3, what a hop.\n{words}\npawn a5 or pawn a6, rook b1 mate"
    assert "threat-overlooked" in rules(THREATENS, told)


def test_true_right_behind_the_key() -> None:
    """A waiting move threatens nothing."""
    told = "the king strolls to g2, what a stroll.\nThere is no threat at all.\nking h4, rook e4 mate"
    assert "threat-overlooked" not in rules(WAITS, told)
