"""Checks that are said of a move behind what else its man does.

In the position 1.Kb6 leaves the king two moves; 1.Qd8+ and 1.Qe8+ are checks.
"""

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text

HEAD = "FEN: 1k6/4Q3/8/K7/8/8/8/8 w - - 0 1\nMate in two.\n\nThe key is king to b6.\n"
LINES = "If the king goes to a8, any of a7, b7, d8, e8 and f8 will do. If he goes to c8, queen e8 or queen c7 mates.\n"


def rules(words: str) -> list[str]:
    """Return the rules of the errors in a text that tells a try in these words."""
    found = check_text("solution.txt", f"{HEAD}{words}\n{LINES}", Options()).findings
    return [each.finding.rule for each in found if each.finding.level.name == "error"]


@pytest.mark.parametrize(
    "words",
    [
        "The queen goes to {}, that covers c8 and it gives check too, but the king gets away.",
        "The queen goes to {}, guarding c8, and that is check, but the king gets away.",
        "The queen goes to {}, which controls c8 and also gives check, but the king gets away.",
    ],
)
def test_it_gives_check(words: str) -> None:
    """The words speak of the move, though a reason stands between."""
    assert rules(words.format("d7")) == ["no-check"]
    assert rules(words.format("e8")) == []


@pytest.mark.parametrize(
    "words",
    [
        "The queen goes to d7, that covers c8 and would give check on d8, but the king gets away.",
        "The queen goes to d7, that covers c8 and it gives check if he waits, but the king gets away.",
        "The queen goes to d7, that covers c8, and the queen gives check, but the king gets away.",
        "The queen goes to d7, that covers c8 but it does not give check, and the king gets away.",
    ],
)
def test_another_check(words: str) -> None:
    """What is said of a later move, or denied, is no claim about this one."""
    assert rules(words) == []
