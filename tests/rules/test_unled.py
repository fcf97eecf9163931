"""A printed move that cannot be played is held against its author only where it says itself where it is played."""

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text

PUZZLE = "8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1\nMate in two.\n\n1.Kg2! zugzwang. 1...Kh4 2.Re4#, 1...h4 2.Rg5#.\n\n"


def errors(line: str) -> list[str]:
    found = check_text("a.txt", PUZZLE + line + "\n", Options(fresh=True)).findings
    return [each.finding.rule for each in found if each.finding.rule == "illegal-move"]


@pytest.mark.parametrize("line", ["After 1...h4 2.Rd4# it is mate.", "The other one: 1...Kh4 2.Rd4#.", "1.Kg2 Kf6."])
def test_a_move_with_its_number_or_in_a_line_is_accused(line: str) -> None:
    assert errors(line) == ["illegal-move"]


@pytest.mark.parametrize(
    "line",
    [
        "| the corner | nothing | h5 has been vacated: ...Kh5 |",
        "Somebody at the back proposed Rd4 and blushed.",
        "Ke1, Rb1... no, start again with the king on f2.",
    ],
)
def test_a_move_alone_among_words_is_not(line: str) -> None:
    assert errors(line) == []
