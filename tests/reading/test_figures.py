"""Moves in figures, as players by post write them (ICCF numeric notation: files and ranks 1 to 8, 5 for promotion)."""

import pytest
from keyproof.grammar.figures import in_letters
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.rules.finding import Level

FEN = "8/3PK3/k7/8/8/8/8/1R6 w - - 0 1"  # 1.d8=Q! Ka7 2.Qa5#


QUEENS = "8/3PK3/k7/8/8/8/7p/1R6 w - - 0 1"  # and 1...h1=Q or h1=N 2.Qb6#


def rules(text: str) -> list[str]:
    result = check_text("a.txt", f"{QUEENS}\nWhite mates in two.\nDear friend, {text}\n", Options())
    return [each.finding.rule for each in result.findings if each.finding.level is not Level.note]


@pytest.mark.parametrize(
    ("printed", "letters"),
    [
        ("1. 5254 5755 2. 7163 2836, then 61.", "1. e2e4 e7e5 2. g1f3 b8c6, then 61."),
        ("47481! 1617 4815 1211, of 1974", "d7d8Q! a6a7 d8a5 a2a1, of 1974"),
    ],
)
def test_figures_are_letters_where_the_text_tells_its_moves_so(printed: str, letters: str) -> None:
    assert in_letters(printed) == letters


@pytest.mark.parametrize(
    "printed",
    [
        "1. 5254 5755 2. 7163",  # too few to be sure
        "In 1848, 1858, 1868 and 1878 Nf3 was played.",
        "In 1834, 1851, 1862, 1866 and 1883 he won.",  # no man goes so
    ],
)
def test_other_numbers_stay(printed: str) -> None:
    assert in_letters(printed) == printed


def test_a_solution_in_figures_is_replayed() -> None:
    assert rules("1. 47481! 82811 or 82812, 82813, 82814 2. 4826 mate. 1... 1617 2. 4815 mate.") == []
    assert rules("1. 47481! 82811 or 82812, 82813, 82814 2. 4826 mate. 1... 1617 2. 5855 mate.") == ["illegal-move"]
    assert rules("1. 47481! 82811 or 82812, 82813, 82814 2. 4826 mate. 1... 1617 2. 4878 mate.") == [
        "mate-without-check"
    ]


@pytest.mark.parametrize("becomes", ["a queen or a knight,", "(knight)", "promoting,"])
def test_what_a_pawn_becomes_may_follow_in_words(becomes: str) -> None:
    assert rules(f"1. 47481! 8281, {becomes} 2. 4826 mate. 1... 1617 2. 4815 mate.") == []


def test_what_a_pawn_becomes_may_be_left_out_nowhere() -> None:
    assert rules("1. 47481! 8281 2. 4826 mate. 1... 1617 2. 4815 mate.") == ["missing-promotion"]
