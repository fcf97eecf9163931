"""Puzzles named by a volume and a number, with their positions in a box at the foot, and what is asked of all.

Positions: an invented column of the corpus. The ways of numbering: common practice, no source.
"""

import pytest
from keyproof.grammar.titles import names_of, number_first, numbers_of, printed_number
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from test_binding import FENS, SOLUTIONS

LABELS = {
    "volume and number": ("41/7", "41/8", "41/9"),
    "the same number in other years": ("1961/3", "1962/3", "1963/3"),
    "chapter and exercise": ("3.10", "3.11", "3.12"),
    "with a noun": ("No. 7/21", "No. 7/22", "No. 7/23"),
    "a month": ("5/104", "5/105", "6/101"),
}
ORDERS = ("all #2", "#2 all", "(each #2)", "All of them: #2", "#2 throughout")


def column(labels: tuple[str, ...], order: str) -> str:
    solutions = "\n\n".join(f"{label}   {text}" for label, text in zip(labels, SOLUTIONS, strict=True))
    rows = [f"| {label}  {fen.removesuffix(' - 0 1')} -" for label, fen in zip(labels, FENS, strict=True)]
    box = "\n".join([*(f"{row}          |" for row in rows[:-1]), f"{rows[-1]}   {order} |"])
    return f"SOLUTIONS\n(positions in the box)\n\n{solutions}\n\n+{'-' * 50}+\n{box}\n+{'-' * 50}+\n"


@pytest.mark.parametrize(("labels", "order"), list(zip(LABELS.values(), ORDERS, strict=True)), ids=LABELS)
def test_solutions_find_their_positions_in_the_box(labels: tuple[str, ...], order: str) -> None:
    result = check_text("pages.txt", column(labels, order), Options())
    assert [(str(p.fen).split()[0], p.stipulation, p.verdict, p.checked) for p in result.puzzles] == [
        (fen.split()[0], "#2", "sound", moves) for fen, moves in zip(FENS, (12, 7, 9), strict=True)
    ]
    assert [placed.finding.rule for placed in result.findings] == []


def test_the_number_of_men_is_that_of_the_position_on_its_line() -> None:
    text = column(LABELS["volume and number"], "all #2")
    counts = ("(5+6)", "(6+5)", "(6+3)")
    for label, count in zip(LABELS["volume and number"], counts, strict=True):
        text = text.replace(f"| {label} ", f"| {label} {count} ")
    rules = [placed.finding.rule for placed in check_text("pages.txt", text, Options()).findings]
    men = [tuple(sum(map(side, fen.split()[0])) for side in (str.isupper, str.islower)) for fen in FENS]
    wrong = sum(count != f"({white}+{black})" for count, (white, black) in zip(counts, men, strict=True))
    assert rules == ["wrong-piece-count"] * wrong


@pytest.mark.parametrize(
    ("label", "numbers"),
    [
        ("41/7 1.Ke6!", (410007, 7)),
        ("3.12 The Mill", (30012,)),
        ("12. The Gate", (12,)),
        ("No. 41/7", (410007, 7)),
        ("No. 1,204", (10204,)),
    ],
)
def test_what_a_label_stands_for(label: str, numbers: tuple[int, ...]) -> None:
    found = number_first(label)
    assert found is not None
    assert numbers_of(found) == numbers
    assert printed_number(label) == numbers[0]


@pytest.mark.parametrize("words", ["1.e4 e5", "1/2-1/2", "Mill 41"])
def test_no_label_in_parts(words: str) -> None:
    assert all(not isinstance(name, int) or name < 10_000 for name in names_of("", words))
