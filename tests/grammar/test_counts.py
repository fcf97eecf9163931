"""Numbers of men that are printed or told. Invented lines."""

import chess
import pytest
from keyproof.grammar.counts import told_counts, told_pairs
from keyproof.grammar.spans import Span


def counts(text: str) -> dict[str, int]:
    told = told_counts(text, Span(0, len(text)))
    return {chess.COLOR_NAMES[colour]: each.number for each in told for colour in each.colours}


@pytest.mark.parametrize(
    "text",
    [
        "There are seven white men and three black men.",
        "Kontrolle: 7 + 3",
        "Control: 7/3",
        "Contrôle : 7+3. Les Blancs jouent.",
        "(7 v 3)",
        " [7 against 3] and a pretty key",
        "Men: 7 v. 3",
        "[White, 7; Black, 3.]",
        "Nina: White seven, Black three.",
    ],
)
def test_both_sides_are_counted(text: str) -> None:
    assert counts(text) == {"white": 7, "black": 3}


@pytest.mark.parametrize(
    "text",
    [
        "Our second team won again (5 v 3), and there was cake.",
        "Check: 12.30 at the door",
        "Check 3 and 4 of last week again",
        "control: 2/10/26",
        "(7+3)",
        "Number of solvers: 17 + 3",
    ],
)
def test_other_numbers_count_no_men(text: str) -> None:
    assert counts(text) == {}


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("There were eleven men on the board.", 11),
        ("Nine men in all, and a clear aim.", 9),
        ("My aunt has a board of glass. There are ten men on it.", 10),
    ],
)
def test_all_men_are_counted(text: str, number: int) -> None:
    """Both sides together."""
    told = list(told_counts(text, Span(0, len(text))))
    assert [(each.number, len(each.colours)) for each in told] == [(number, 2)]


@pytest.mark.parametrize(
    "text",
    [
        "The ferry came. There were eleven men on it.",
        "My side has five men in all.",
        "If there were nine men on the board, it would be cooked.",
        "Seven of the nine men on the board are idle.",
        "White five, Black four, a draw in the match",
    ],
)
def test_a_number_of_something_else(text: str) -> None:
    """Not of all men of the position, nor of both sides."""
    assert not list(told_counts(text, Span(0, len(text))))


def test_men_of_sides_that_are_not_named() -> None:
    """Which side has which number is left open."""
    text = "Seven men against five, and the five are at home. He won with 7 men against 2 last year."
    assert [told[1:] for told in told_pairs(text, Span(0, len(text)))] == [(7, 5)]
