"""Findings that rest on a move which was most likely put in the wrong place, or on words that tell another thing."""

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text

PAWNS = "FEN: K5n1/8/1R1p4/2k5/1p4Q1/1P3p2/8/6n1 w - - 0 1\nMate in two.\n\n"
HEAD = PAWNS + "Key: 1.Kb7! (threat 2.Qc4#).\n"


def faults(text: str) -> list[str]:
    """Return the rules of the errors and warnings found in a text."""
    found = check_text("solution.txt", text, Options()).findings
    return [each.finding.rule for each in found if each.finding.level.name != "note"]


@pytest.mark.parametrize(
    "text",
    [
        "Now queen c4 is mate, as it should be.",
        "Key 1.Kb7! The idea: Qc4 mate.",
        "The queen goes to c4 and that is mate whatever he does.",
    ],
)
def test_no_first_move_of_two_is_called_mate(text: str) -> None:
    """It is the threat, and its place was not understood."""
    assert faults(PAWNS + text) == []


@pytest.mark.parametrize("words", ["My uncle says three solutions.", "You inform us that it has three solutions."])
def test_a_number_of_solutions_that_others_state(words: str) -> None:
    assert faults(PAWNS + words + "\nKey: 1.Kb7!\n") == []


def test_a_number_of_solutions_the_author_states() -> None:
    assert faults(PAWNS + "Three solutions.\nKey: 1.Kb7!\n") == ["wrong-number-of-solutions"]


def test_letters_of_a_list_are_no_twins() -> None:
    """One of them begins with what could be a change, and none of the others does."""
    notes = (
        "a) Accepted: Ka8-b7 (threat Qg4-c4).\nb) No points for guesses.\nc) Late papers: two.\nd) Qg4-f4: no points.\n"
    )
    assert "impossible-twin" not in faults(PAWNS + notes)


def test_what_is_threatened_after_all_is_told() -> None:
    assert faults(PAWNS + "1.Kb7! The king threatens nothing himself, and yet 2.Qc4 mate hangs in the air.") == []
    assert faults(PAWNS + "1.Kb7! The king threatens nothing.") == ["threat-overlooked"]


def test_a_capture_told_away_from_its_defence() -> None:
    """Where nothing is there to be captured, the words tell another move."""
    assert faults(HEAD + "The rest is easy. She takes c4 and all is over.") == []


def test_the_second_half_of_a_move_in_a_descriptive_column() -> None:
    text = (
        "FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1\nMate in two.\n\n1. K to Kt 2\n(a) 1. P to R 5; 2. R to Kt 5, mate.\n"
    )
    assert "wrong-move-number" not in faults(text)


def test_a_key_that_is_the_only_one_needs_no_order() -> None:
    """The note stays; no warning is given."""
    assert faults(HEAD.replace("Mate in two.\n", "")) == []


COLUMN = """Mate in two each.

7. FEN: K5n1/8/1R1p4/2k5/1p4Q1/1P3p2/8/6n1 w - - 0 1

1.Kb7! (threat 2.Qc4#).

8. FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1

1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#.

"""


def test_a_first_move_that_can_be_played_in_the_puzzle_before_is_told_of_that() -> None:
    assert faults(COLUMN + "A reader wanted 1.Qf4 as well; his neighbour sent the same.\n") == []
    assert faults(COLUMN + "A reader wanted 1.Qd2 as well; 1.Rb5? h4!\n") != []
