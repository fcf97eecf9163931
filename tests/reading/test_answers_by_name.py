"""Answers find their positions by the name that both go by, also where what is asked names moves of its own.

Positions: an invented column of the corpus. The ways of naming: common practice, no source.
"""

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from test_binding import SOLUTIONS

LISTS = (
    "White: Kg1, Qd1, Be3, Be8, Ra7, Rc6; Black: Kf8, Ng7, Pd5, Pe4",
    "White: Kh6, Qg4, Rg8, Na5, Ne8, Pf7; Black: Kd8, Bd7, Pa6",
)
TRIES = ("1.Ra8", "1.Qg7")
NAMES = {
    "exercises of a chapter": ("7.1", "7.2", "7.1", "7.2"),
    "abbreviated": ("Ex. 7.1", "Ex. 7.2", "Ex. 7.1", "Ex. 7.2"),
    "questions and answers": ("Q1.", "Q2.", "A1.", "A2."),
    "Roman numbers": ("I.", "II.", "I.", "II."),
    "small Roman numbers": ("Exercise (i).", "Exercise (ii).", "(i)", "(ii)"),
    "letters": ("Puzzle A -", "Puzzle B -", "Puzzle A -", "Puzzle B -"),
    "a set and its numbers": ("3-1)", "3-2)", "3-1)", "3-2)"),
    "tasks": ("Task one.", "Task two.", "Task one.", "Task two."),
    "told of in a sentence": ("Diagram 1.", "Diagram 2.", "In diagram 1:", "Quite another thing is diagram 2:"),
}


@pytest.mark.parametrize("names", NAMES.values(), ids=NAMES)
def test_answers_at_the_foot_find_their_positions(names: tuple[str, ...]) -> None:
    asked = [
        f"{name} {men}. Mate in two. What is wrong with {move}?"
        for name, men, move in zip(names[:2], LISTS, TRIES, strict=True)
    ]
    answers = [f"{name} {' '.join(told.split())}" for name, told in zip(names[2:], SOLUTIONS[1:], strict=True)]
    text = "\n\n".join(["CHAPTER THREE", *asked, "Answers to chapter three", *answers]) + "\n"
    result = check_text("book.txt", text, Options())
    assert [(puzzle.stipulation, puzzle.verdict, puzzle.checked) for puzzle in result.puzzles] == [
        ("#2", "sound", 8),
        ("#2", "sound", 10),
    ]
    assert result.unbound.of_none == ()
    assert [placed.finding.rule for placed in result.findings if placed.finding.level.name != "note"] == []
