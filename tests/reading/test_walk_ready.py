"""An answer to the key of which it is said that it stood ready is told of the diagram too, where it does there."""

import pytest
from test_walk_at_once import ROOK, found  # 1.Rg4; Kh6 2.Rh4, which is set, and h6 2.Qg6, which is not
from test_walk_print import placed


@pytest.mark.parametrize(
    "text",
    [
        "1.Rg4! 1...Kh6 2.Rh4#. That mate was already waiting in the diagram.",
        "1.Rg4! Kh6 2.Rh4# (this one was there before the key as well)",
        "Rook to g4. If the king goes to h6, the rook mates on h4, and that one stood ready before anybody moved.",
        "1.Rg4! 1...Kh6 2.Rh4# is set, by the way.",
        "Rook g4. The king goes to h6, rook h4 mate. That was there before we started.",
        "Rook g4. If the king goes to h6 then rook h4, which was there the whole time, even if we'd passed.",
        "Rook g4. King h6? Rook h4. It was there before I'd touched a thing.",
        "1.Rg4! Kh6 2.Rh4#, as in the diagram.",
        "Rook g4. His king to h6, rook h4, same as it could have done before anybody had moved.",
        "Solution of No. 7\nSet play: 1...Kh6 2.Rh4#.\nKey: 1.Rg4! Kh6 2.Rh4#.",
    ],
)
def test_an_answer_that_stood_ready_is_set(text: str) -> None:
    assert placed(ROOK, text) >= {"Rg4 Kh6 Rh4", "-- Kh6 Rh4"}


def test_an_answer_that_is_not_set_is_told_of_the_key_alone() -> None:
    text = "1.Rg4! 1...h6 2.Qg6#. That mate was already waiting in the diagram."
    assert placed(ROOK, text) == {"Rg4", "Rg4 h6", "Rg4 h6 Qg6"}
    assert not [rule for rule, _ in found(ROOK, text) if rule != "defence-left-out"]


@pytest.mark.parametrize(
    "text",
    [
        "1.Rg4! 1...Kh6 2.Rh4# (set: 2.Rh4#). 1...h6 2.Qg6#.",
        "1.Rg4! 1...Kh6 2.Rh4#, in the diagram 2.Rh4#. 1...h6 2.Qg6#.",
        "1.Rg4!\n\n| Black | White | |\n|---|---|---|\n| 1...Kh6 | 2 Rh4# | set: 2 Rh4# |\n| 1...h6 | 2 Qg6# | |",
    ],
)
def test_a_set_mate_told_beside_its_reply_is_of_the_diagram(text: str) -> None:
    told = placed(ROOK, text)
    assert told >= {"Rg4 Kh6 Rh4", "-- Kh6", "-- Kh6 Rh4", "Rg4 h6", "Rg4 h6 Qg6"}
    assert not [rule for rule, _ in found(ROOK, text) if rule != "defence-left-out"]


def test_what_is_no_mate_in_the_diagram_is_not_set() -> None:
    assert "-- h6 Qg6" not in placed(ROOK, "1.Rg4! 1...h6 2.Qg6# (set: 2.Qg6#). 1...Kh6 2.Rh4#.")


VIEW = "5K2/7p/7k/Qp5P/PP5R/PbP1n3/1n6/8 w - - 0 1"  # 1.Qc7 threatens 2.Qg7 and 2.Qf4; 1...Kg5 2.Qf4


@pytest.mark.parametrize(
    "words",
    [
        "If the king goes to g5, queen f4, which was the threat.",
        "1...Kg5 2.Qf4#, which was the menace from the first.",
        "King g5, queen f4, and that was the threat all along.",
        "Should the king go to g5, the queen comes to f4, which was what she intended all along.",
    ],
)
def test_an_answer_called_the_threat_is_told_behind_a_pass_too(words: str) -> None:
    assert placed(VIEW, f"The key is queen c7. {words}") >= {"Qc7 Kg5 Qf4", "Qc7 -- Qf4"}


@pytest.mark.parametrize(
    "words",
    [
        "Now she eyes g7 and f4, and either is mate.",
        "The queen looks at g7 and f4, both mate.",
        "Everything hangs on queen g7 and queen f4.",
    ],
)
def test_squares_in_view_where_she_mates_are_threats(words: str) -> None:
    assert placed(VIEW, f"The key is queen c7. {words}") >= {"Qc7 -- Qg7", "Qc7 -- Qf4"}


def test_squares_that_are_only_guarded_are_none() -> None:
    assert placed(VIEW, "The key is queen c7. She eyes g7 and f4. King g5, queen f4, mate.") == {
        "Qc7",
        "Qc7 Kg5",
        "Qc7 Kg5 Qf4",
    }


def test_who_speaks_next_begins_a_sentence() -> None:
    told = (
        "ANNA: so it's rook g4\nBERT: and king h6 rook h4, mate, which was there before we moved\nANNA: rook g5 isn't\n"
    )
    assert placed(ROOK, told + "BERT: sure") >= {"Rg4", "Rg4 Kh6 Rh4", "-- Kh6 Rh4"}


@pytest.mark.parametrize(
    "words",
    [
        "Had it been Black's turn, king h6 would be met by rook h4, mate.",
        "If it was blacks turn at the start and the king went to h6 then rook h4 was mate.",
        "1...Kh6 had its answer ready, 2.Rh4#.",
        "Tries: 1.Qg4+? Kh6!\nNote: before the key, 1...Kh6 already has one answer (Rh4).",
    ],
)
def test_what_was_ready_before_the_key_is_told_of_the_diagram(words: str) -> None:
    assert placed(ROOK, f"The key is rook g4.\n\n{words}") >= {"-- Kh6", "-- Kh6 Rh4"}
