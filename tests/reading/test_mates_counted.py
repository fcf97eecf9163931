"""How many mates a text says there are, in many ways of saying it and in five languages.

In the position 1.Kb6 leaves the king two moves: to c8, where the queen mates on e8 and on c7, and to a8.
"""

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text

FEN = "FEN: 1k6/4Q3/8/K7/8/8/8/8 w - - 0 1\n"
OTHER = "1...Ka8 2.Qa7/Qb7/Qd8/Qe8/Qf8#\n"


def rules(text: str) -> list[str]:
    """Return the rules of the findings in a text."""
    return [each.finding.rule for each in check_text("solution.txt", text, Options()).findings]


@pytest.mark.parametrize(
    "words",
    [
        "1...Kc8 2.Qe8# only",
        "1...Kc8 2.Qe8# (only here)",
        "1...Kc8 2.Qe8#, the only mate",
        "1...Kc8 2.Qe8# and no other mate",
        "1...Kc8 2.Qe8# and no other",
        "1...Kc8 2.Qe8#, nothing else.",
        "1...Kc8 and there is just one mate, 2.Qe8#",
        "1...Kc8 and White's only mate is 2.Qe8#",
        "1...Kc8 and the sole mating move is 2.Qe8#",
        "1...Kc8 leaves exactly three mates, 2.Qe8# for one.",
        "If the king steps to c8, only the queen to e8 mates.",
        "If the king steps to c8, I go queen e8, mate, and nothing else.",
        "If the king steps to c8 you've got three mates.",
        "If the king steps to c8 there is one answer only, the queen to e8.",
        "1...Kc8 has but one reply: 2.Qe8#",
        "If the king steps to c8, queen to e8 and nothing but queen to e8 (a long way).",
    ],
)
def test_of_an_answer(words: str) -> None:
    """Nothing is said of it twice: the dual is what makes the claim false."""
    assert rules(f"{FEN}Mate in two.\n\n1.Kb6!\n{words}\n{OTHER}") == ["wrong-number-of-mates"]


@pytest.mark.parametrize(
    "words",
    [
        "1...Kc8 2.Qe8# or 2.Qc7#, and nothing else.",
        "1...Kc8 has only two mates, 2.Qe8# and 2.Qc7#",
        "1...Kc8 and two mates: 2.Qe8# and 2.Qc7#",
        "1...Kc8 2.Qe8/Qc7#, and only one mate with the queen on the last rank.",
        "1...Kc8 2.Qe8/Qc7#, and one of the mates is ideal.",
        "1...Kc8 2.Qe8/Qc7#. If only one mate were left!",
    ],
)
def test_so_many_there_are(words: str) -> None:
    """What is true, or said of some of the mates, is no fault."""
    assert rules(f"{FEN}Mate in two.\n\n1.Kb6!\n{words}\n{OTHER}") == []


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        ("Matt in zwei Zügen.", "1...Kc8 2.De8 matt (nur so)."),
        ("Matt in zwei Zügen.", "1...Kc8 und nur 2.De8 setzt matt."),
        ("Matt in zwei Zügen.", "1...Kc8 2.De8 matt und nichts anderes."),
        ("Mat en deux coups.", "1...Rc8 2.De8 mat (seul mat)."),
        ("Mat en deux coups.", "1...Rc8 2.De8 mat, le seul mat."),
        ("Mate en dos.", "1...Rc8 2.De8 mate (único mate)."),
        ("Matto in due mosse.", "1...Rc8 e solo 2.De8 matto."),
        ("Mat in twee zetten.", "1...Kc8 en slechts 2.De8 mat."),
        ("Mat in twee zetten.", "1...Kc8 2.De8 mat (alleen zo)."),
    ],
)
def test_in_other_languages(asked: str, told: str) -> None:
    """The words for "only" are those of the lexicon."""
    king = told[4]
    other = f"1...{king}a8 2.Da7/Db7/Dd8/De8/Df8#\n"
    assert rules(f"{FEN}{asked}\n\n1.{king}b6!\n{told}\n{other}") == ["wrong-number-of-mates"]
