"""Tables and sentences that speak of several puzzles: each cell, row and clause goes to its own.

Positions: an invented column of the corpus. The layouts: common practice, no source.
"""

import pytest
from keyproof.grammar.mentions import mentions
from keyproof.linter.options import Options
from keyproof.linter.pipeline import sections_of
from keyproof.linter.sources import document_from_text
from test_binding import FENS

SHEET = f"""\
# Marking sheet (desk 3)

| Q | position | |
|---|---|---|
| 1 | {FENS[0]} | #2 |
| 2 | {FENS[1]} | #2 |

| Q | key | then |
|---|---|---|
| 1 | 1.Qg3 | 1...Kh7 2.Qg7; 1...Kh5 2.Qg5 |
| 2 | 1.Qd4 | 1...Kg8 2.Qxg7 |

| no. | Q1 | Q2 | remarks |
|---|---|---|---|
| 31 | Qg3 | Rc8 | 5 0. Rc8 is met by d4. |
| 32 | Qh3 | Qd4 | 0 5. Qh3 pins nothing, Qd4 is what we want. |
| 33 | Ne7 | Rf6+ | 0 0 |
| | | | Q1: Ne7, after which the king goes to h5 |

Rf6+ (no. 33) was a surprise.
"""

HEADS = f"""\
# Homework

| 41 | 42 | 43 |
|---|---|---|
| {FENS[0]} | {FENS[1]} | {FENS[2]} |
| #2 | #2 | #2 |
| 1.Qg3 | 1.Qd4 | 1.Qf4 |
| 1...Kh7 2.Qg7 | 1...Kg8 2.Qxg7 | 1...Ke7 2.Qf6 |
"""

ONE_PUZZLE = f"""\
# Two to solve

1. {FENS[0]}

Mate in two.

| | White | Black |
|---|---|---|
| 1 | Qg3 | Kh7 |
| 2 | Qg7 | |

2. {FENS[1]}

Mate in two. 1.Qd4! Kg8 2.Qxg7
"""


PAPERS = f"""\
# Papers

Diagram **A**: `{FENS[0]}` (#2)
Diagram **B**: `{FENS[1]}` (#2)

| Solver | Dgm | Sent in | Pts |
|---|---|---|---|
| Anna | A | 1.Qg3 | 5 |
| Bert | A | 1...Kh7 2.Qg7 | 2 |
| Anna | B | 1.Qd4 | 5 |
| Cleo | B | 1...Kg8 2.Qxg7 | 2 |
"""


def prose(text: str, name: str = "x.txt") -> list[list[str]]:
    """Return the stretches of text of each puzzle that has a position."""
    document = document_from_text(name, text, "markdown" if name.endswith("md") else "text")
    return [
        [" ".join(span.of(document.masked).split()) for span in puzzle.prose]
        for puzzle in sections_of(document, Options())[0].puzzles
        if puzzle.diagrams
    ]


def test_a_row_or_a_column_for_each_puzzle() -> None:
    first, second = prose(SHEET, "x.md")
    assert first[first.index("#2") + 1 :] == [
        "1.Qg3 1...Kh7 2.Qg7; 1...Kh5 2.Qg5",
        "Qg3",
        "Qh3",
        "0 5. Qh3 pins nothing,",
        "Ne7",
        "Q1: Ne7, after which the king goes to h5",
    ]
    assert second[second.index("#2") + 1 :] == [
        "1.Qd4 1...Kg8 2.Qxg7",
        "Rc8",
        "5 0. Rc8 is met by d4.",
        "Qd4",
        "Qd4 is what we want.",
        "Rf6+",
        "Rf6+ (no. 33) was a surprise.",
    ]


def test_positions_in_the_columns_of_a_table() -> None:
    assert prose(HEADS, "x.md") == [
        ["#2", "1.Qg3", "1...Kh7 2.Qg7"],
        ["#2", "1.Qd4", "1...Kg8 2.Qxg7"],
        ["#2", "1.Qf4", "1...Ke7 2.Qf6"],
    ]


def test_rows_that_count_moves_stay_with_their_puzzle() -> None:
    first, _ = prose(ONE_PUZZLE, "x.md")
    assert "1 Qg3 Kh7" in " ".join(first)
    assert "2 Qg7" in " ".join(first)


@pytest.mark.parametrize(
    ("words", "first", "second"),
    [
        ("In 41 the check 1.Qh3 fails. The rook move 1.Rc8 in 42 is no better.", "In 41", "The rook move"),
        ("41 was liked. The king of 42 goes 1...Kg8 2.Qxg7.", "41 was", "The king"),
        ("1.Qg3 does no. 41, and 1.Qd4 does no. 42.", "1.Qg3", "and 1.Qd4"),
        ("The first goes 1.Qg3, threat 2.Qxh4, the second 1.Qd4 Kg8 2.Qxg7.", "The first", "the second"),
        ("P1: Qg3. P2: Qd4.", "P1", "P2"),
        ("Problem one: 1.Qg3 Kh7 2.Qg7. Problem two: 1.Qd4 Kg8 2.Qxg7.", "Problem one", "Problem two"),
        ("1.Qg3! (2.Qxh4) Kh5 2.Qg5, Sg6 2.Qxg6. Then 1.Qd4! Kg8 2.Qxg7, Kxe8 2.Rc8.", "1.Qg3", "Then 1.Qd4"),
    ],
)
def test_one_paragraph_of_two_puzzles(words: str, first: str, second: str) -> None:
    numbers = ("1", "2") if "P1" in words else ("41", "42")
    text = (
        f"Mates in two.\n\nNo. {numbers[0]}  {FENS[0]}\n\nNo. {numbers[1]}  {FENS[1]}\n\nSolutions by post. {words}\n"
    )
    one, other = (" ".join(each) for each in prose(text))
    assert (first in one, second in one) == (True, False)
    assert (first in other, second in other) == (False, True)


def test_small_letters_in_brackets_are_labels() -> None:
    shown = f"(a) {FENS[0]}\n(b) {FENS[1]}\nBoth #2.\n\n"
    first, second = prose(f"{shown}(a) 1.Qg3! Kh7 2.Qg7\n(b) 1.Qd4! Kg8 2.Qxg7\n\nAd (a): 1.Qh3? Kh7!\n")
    assert "Ad (a): 1.Qh3? Kh7!" in first[-1]
    assert any("1.Qd4" in each for each in second)


def test_an_answer_is_no_label() -> None:
    text = (
        f"A: {FENS[0]} (mate in two)\nB: {FENS[1]} (mate in two)\n\n"
        "Q: What starts B?\nA: The queen, d4.\nQ: And if the king goes to g8?\nA: Queen takes g7, mate.\n"
    )
    assert "A: The queen, d4." in " ".join(prose(text)[1])


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("As in 414 the king is free.", []),
        ("412 and 413 were done by everybody.", []),
        ("In 412 and 413 the queen moves.", []),
        ("He has 12 points and 20 men.", []),
        ("For the first time he won.", []),
        ("The check in 413 fails; 414 does not.", [(413,), (414,)]),
        ("R. to B. 7 in No. 16 fails.", [(16,)]),
        ("It was sent by three (no. 16 only).", [(16,)]),
    ],
)
def test_what_sentences_name(text: str, named: list[tuple[int, ...]]) -> None:
    assert [each.numbers for each in mentions(text)] == named


def test_any_column_may_name_the_puzzles() -> None:
    """What stands behind a position on its line is its own too, though a caption of the next stands below."""
    first, second = prose(PAPERS, "x.md")
    assert first[-3:] == ["(#2)", "1.Qg3 5", "1...Kh7 2.Qg7 2"]
    assert second[-3:] == ["(#2)", "1.Qd4 5", "1...Kg8 2.Qxg7 2"]


@pytest.mark.parametrize("name", ["T1 cont.", "T1 (continued)", "T1 again"])
def test_a_row_may_go_on_with_a_puzzle(name: str) -> None:
    table = f"| T1 | 1.Qg3 |\n| {name} | 1...Kh7 2.Qg7 |\n| T2 | 1.Qd4 |\n| T2 lines | 1...Kg8 2.Qxg7 |\n"
    text = f"T1 {FENS[0]}\n\nT2 {FENS[1]}\n\nMate in two, both.\n\n| task | told |\n|---|---|\n{table}"
    first, second = prose(text, "x.md")
    assert (first[-2:], second[-2:]) == (["1.Qg3", "1...Kh7 2.Qg7"], ["1.Qd4", "1...Kg8 2.Qxg7"])


def test_questions_numbered_through_say_whose_the_answers_are() -> None:
    quiz = f"""\
BOARD ONE. {FENS[0]}  Mate in two.
  1. What is the first move?
  2. The king goes to h7. What then?

BOARD TWO. {FENS[1]}  Mate in two.
  3. And here, which man moves?
  4. He goes to g8. Your reply?

ANSWERS
  1. Queen to g3.
  2. Queen takes on g7, mate.
  3. The queen, to d4.
  4. No. 1...Kg8 helps him no more: queen takes on g7.
"""
    first, second = prose(quiz)
    assert [words for words in first if "ueen" in words] == ["Queen to g3.", "Queen takes on g7, mate."]
    assert second[-2].endswith("The queen, to d4.")
    assert second[-1].endswith("queen takes on g7.")


def test_the_line_above_a_position_may_end_with_its_number() -> None:
    book = f"""\
Monday. Exercise 1.
{FENS[0]}
I shall try it later.

Tuesday. Soup. Exercise 2.
{FENS[1]}
Cried a bit.

Friday, in ink.

Ex. 1   Qg3. To h7 the king goes, then queen takes on g7.

Ex. 2   Qd4. He goes to g8, the queen takes on g7.
"""
    first, second = prose(book)
    assert any("Qg3" in words for words in first)
    assert not any("Qg3" in words for words in second)
