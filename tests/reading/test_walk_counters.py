"""One answer told for several replies: before them ("queen g7 against ..."), or behind the last of several sentences.

The position is of our own making; what is true in it is what the prover and python-chess say.
"""

import pytest
from test_walk_print import placed

VIEW = "5K2/7p/7k/Qp5P/PP5R/PbP1n3/1n6/8 w - - 0 1"  # 1.Qc7 threatens 2.Qg7 and 2.Qf4; 1...Nd5, 1...Ng2 2.Qg7 alone
TOLD = "Queen to c7 threatens queen g7 and queen f4. "
BOTH = {"Qc7 Nd5", "Qc7 Nd5 Qg7", "Qc7 Ng2", "Qc7 Ng2 Qg7"}


@pytest.mark.parametrize(
    "words",
    [
        "Queen g7 against knight d5 and knight g2.",
        "Queen g7 answers knight d5, knight g2 and the other knight to d3.",
        "Queen g7, whether the knight goes to d5 or to g2.",
        "Queen g7 if the knight goes to d5 or g2.",
        "Qg7 against Nd5, Ng2; Qf4 against Nf5, Kg5.",
        "The knight goes to d5; the knight goes to g2. I must then go to g7.",
        "Knight d5. Knight g2. Queen g7, and queen g7.",
        "On d5 and on g2 the knight guards f4, and so I go to g7.",
        "From d5 the knight guards f4, and from g2 too: queen g7 in both cases.",
    ],
)
def test_one_answer_to_several_replies(words: str) -> None:
    assert placed(VIEW, TOLD + words) >= BOTH


def test_two_answers_each_against_its_own() -> None:
    found = placed(VIEW, TOLD + "Qg7 against Nd5, Ng2; Qf4 against Nf5, Kg5.")
    assert found >= {"Qc7 Nf5 Qf4", "Qc7 Kg5 Qf4"}
    assert not found & {"Qc7 Nf5 Qg7", "Qc7 Nd5 Qf4"}


def test_an_answer_that_does_not_do_is_told_of_the_last_alone() -> None:
    found = placed(VIEW, TOLD + "Knight d5. Knight f5. Queen f4.")
    assert "Qc7 Nf5 Qf4" in found
    assert "Qc7 Nd5 Qf4" not in found


def test_a_key_told_with_a_condition_stays_where_it_is() -> None:
    found = placed(VIEW, "The queen goes to c7. When the king goes to g5 queen to f4.")
    assert found >= {"Qc7", "Qc7 Kg5", "Qc7 Kg5 Qf4"}


@pytest.mark.parametrize(
    "words",
    [
        "Knight d5 does not prevent queen g7.",
        "Knight to d5 stops f4 only; it doesn't stop g7.",
        "Neither knight d5 nor knight g2 hinders queen g7.",
        "Neither knight d5 nor knight g2 helps: queen g7.",
        "The knight may go to d5, which does not hinder queen g7.",
    ],
)
def test_what_a_reply_does_not_prevent_answers_it(words: str) -> None:
    assert placed(VIEW, TOLD + words) >= {"Qc7 Nd5", "Qc7 Nd5 Qg7"}


def test_what_a_reply_prevents_does_not() -> None:
    assert "Qc7 Nd5 Qf4" not in placed(VIEW, TOLD + "Knight d5 stops f4, and so queen g7.")


def test_replies_that_are_nothing_may_be_played() -> None:
    found = placed(VIEW, TOLD + "Knight to d5, knight to g2 are nothing, and the queen goes to g7.")
    assert found >= BOTH
