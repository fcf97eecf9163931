"""Among tries that are called so the reply left without an answer is said to refute, in words as in print."""

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text

HEAD = "FEN: K5n1/8/1R1p4/2k5/1p4Q1/1P3p2/8/6n1 w - - 0 1\nMate in two.\n\n"
KEY = "\n\nThe key is king to b7. The threat is queen to c4, mate.\n"


def rules(text: str) -> set[str]:
    """Return the rules of what is found of the tries."""
    found = check_text("solution.txt", HEAD + text + KEY, Options())
    return {each.finding.rule for each in found.findings} & {"refutation-fails", "further-refutation"}


@pytest.mark.parametrize("head", ["The tries. ", "A try first. "])
@pytest.mark.parametrize("joined", [". Black replies ", ", and Black plays "])
@pytest.mark.parametrize(
    ("reply", "expected"),
    [("king to d5", set()), ("knight to h3", {"refutation-fails"})],
)
def test_a_reply_left_without_an_answer(head: str, joined: str, reply: str, expected: set[str]) -> None:
    assert rules(f"{head}King to a7{joined}{reply}.") == expected


def test_tries_told_behind_the_set_play() -> None:
    """They are no answers there, and a reply to one that was put there refutes no first move."""
    told = "Set play. If the king goes to d5, rook to b5 is mate.\n\nThe tries. "
    assert rules(told + "Queen to f4 fails to knight to h3. Rook to b7 fails to king to d5.") == {"further-refutation"}


@pytest.mark.parametrize("joined", [", and the king ", ". The king ", ", but the king "])
@pytest.mark.parametrize("verb", ["goes", "moves"])
def test_a_reply_that_cannot_be_played_is_put_nowhere_else(joined: str, verb: str) -> None:
    """It is told right behind a try, which is neither passed over for it nor an answer to the reply before."""
    told = f"Rook to c6 is check{joined}takes the rook. Queen to c4 is check{joined}{verb} to d5."
    found = check_text("solution.txt", HEAD + told + KEY, Options()).findings
    assert "king-into-check" in {each.finding.rule for each in found}
