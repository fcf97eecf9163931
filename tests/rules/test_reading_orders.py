"""Play that is told in another order than it is played in, or in lists and brackets, as the literal reading takes it.

The positions are our own; what is legal is python-chess's word.
"""

import pytest
from test_reading import ZUGZWANG, lines, reading

KNIGHT = "6Q1/7p/5P2/7k/1R6/7n/3K4/8 w - - 0 1"  # 1.Rg4! h6 2.Qg6#, Kh6 2.Rh4#, knight 2.Qg5# or 2.Qxg5#
TRIES = "8/3pPP2/1P6/3k1K2/5Q2/8/4B3/8 w - - 0 1"  # 1.Qc7!; 1.Qe5+? and 1.Qb4? fail to Kc6


def told(fen: str, text: str) -> dict[str, list[str]]:
    """Return the lines that each move of a text leads to."""
    return {words: ends for words, _, ends in lines(fen, text)}


@pytest.mark.parametrize("after", ["after 1...Kh4 and 2.Rg5# after 1...h4.", "(after 1...Kh4). 2.Rg5# (after 1...h4)."])
def test_an_answer_stands_before_its_defence(after: str) -> None:
    found = told(ZUGZWANG, f"1.Kg2! 2.Re4# {after}")
    assert (found["Re4#"], found["Rg5#"]) == (["1.Kg2 Kh4 2.Re4#"], ["1.Kg2 h4 2.Rg5#"])


def test_a_refutation_that_stands_before_its_tries_is_put_nowhere() -> None:
    found = reading(TRIES, "1.Qc7 is the key. 1...Kc6! refutes 1.Qe5+ and 1.Qb4.")
    assert [each.text for each in found.not_understood] == ["Kc6!"]
    assert [mention.phrase.text for mention in found.mentions] == ["Qc7", "Qe5+", "Qb4"]


def test_moves_of_a_list_are_known_for_one_by_its_last() -> None:
    found = told(KNIGHT, "1.Rg4! Knight f2, knight g5 or knight g1: queen g5 mates.")
    assert found["queen g5"] == ["1.Rg4 Nf2 2.Qg5#", "1.Rg4 Ng5 2.Qxg5#", "1.Rg4 Ng1 2.Qg5#"]


def test_an_answer_to_what_a_bracket_tells_one_by_one() -> None:
    found = told(KNIGHT, "1.Rg4! The knight moves (1...Nf2 or Nf4), 2.Qg5#.")
    assert found["Qg5#"] == ["1.Rg4 Nf2 2.Qg5#", "1.Rg4 Nf4 2.Qg5#"]


def test_a_man_and_a_square_are_tried() -> None:
    assert told(KNIGHT, "Let's try the rook on g4. Kh6 2.Rh4#.")["Rh4#"] == ["1.Rg4 Kh6 2.Rh4#"]


def test_answers_told_of_several_lines_at_once_are_put_nowhere() -> None:
    found = reading(KNIGHT, "1.Rg4! They are met by queen to f8, queen to c8 and bishop to g5.")
    assert [mention.phrase.text for mention in found.mentions] == ["Rg4!"]
