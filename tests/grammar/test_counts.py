"""Numbers of men that are printed or told. Invented lines."""

import chess
import pytest
from keyproof.grammar.counts import told_counts
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
