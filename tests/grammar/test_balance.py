"""Numbers of men of both sides, told at once. Invented lines."""

import chess
import pytest
from keyproof.grammar.balance import printed_on_line, told_against, told_of_both
from keyproof.grammar.spans import Span


def counts(text: str) -> dict[str, int]:
    told = told_of_both(text, Span(0, len(text)))
    return {chess.COLOR_NAMES[colour]: each.number for each in told for colour in each.colours}


@pytest.mark.parametrize(
    "text",
    [
        "Material: seven white men, three black.",
        "Seven white pieces and three black ones, no more.",
        "Seven white men against three, and it is mate in two.",
        "seven white, three black. who sees it?",
        "Sieben weiße und drei schwarze Steine.",
        "Siete piezas blancas y tres negras.",
        "Mate in two, 7+3.",
        "Matt in zwei. 7 + 3.",
    ],
)
def test_men_of_both_sides(text: str) -> None:
    assert counts(text) == {"white": 7, "black": 3}


@pytest.mark.parametrize("text", ["Five men each.", "There stand five pieces on either side.", "Five men a side."])
def test_as_many_on_either_side(text: str) -> None:
    assert counts(text) == {"white": 5, "black": 5}


@pytest.mark.parametrize(
    "text",
    [
        "Two rooks, one white, one black.",
        "He needs two white men against one black to win.",
        "Five white points, two black points.",
        "Round 2, 5+3 in the end",
    ],
)
def test_other_things_in_two_colours(text: str) -> None:
    assert counts(text) == {}


@pytest.mark.parametrize(
    ("text", "numbers"),
    [
        ("Seven against three. White moves.", [(7, 3)]),
        ("Also sieben gegen drei.", [(7, 3)]),
        ("Mate in two, seven against three, a light thing.", [(7, 3)]),
        ("Seven men, then, against three.", [(7, 3)]),
        ("We lost seven against three boards of theirs.", []),
        ("If it were seven against three, well.", []),
    ],
)
def test_numbers_against_each_other(text: str, numbers: list[tuple[int, int]]) -> None:
    assert [told[1:] for told in told_against(text, Span(0, len(text)))] == numbers


@pytest.mark.parametrize(
    ("text", "numbers"),
    [
        ("| 4+7 | Ra8 |", [4, 7]),
        ("     11 + 6     #2", [11, 6]),
        (" 7 v 6", [7, 6]),
        ("| 7 v 6 | #2 |", [7, 6]),
        ("| c4+ d5 |", []),
        ("| 4+7+1 |", []),
        ("w - - 0 1", []),
    ],
)
def test_printed_beside_a_position(text: str, numbers: list[int]) -> None:
    assert [told.number for told in printed_on_line(text, Span(0, len(text)))] == numbers
