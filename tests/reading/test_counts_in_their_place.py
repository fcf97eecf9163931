"""Numbers of flights and replies that name the position they are counted in.

In the diagram the king on b8 can go to a8 and c8 and to no other square, and so he can after 1.Kb6; after 1.Qd7 he has
a8 only.
"""

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text

HEAD = "FEN: 1k6/4Q3/8/K7/8/8/8/8 w - - 0 1\nMate in two.\n\n"
SOLUTION = "Key: 1.Kb6! Ka8 2.Qa7/Qb7/Qd8/Qe8/Qf8#, 1...Kc8 2.Qe8/Qc7#.\n"


def rules(words: str) -> list[str]:
    """Return the rules of the findings in a text that says these words behind its solution."""
    found = check_text("solution.txt", f"{HEAD}Try: 1.Qd7? Ka8!\n{SOLUTION}{words}\n", Options()).findings
    return [each.finding.rule for each in found]


@pytest.mark.parametrize(
    ("words", "right", "rule"),
    [
        ("In the diagram the king has {} flights.", "two", "wrong-flights"),
        ("The black king has {} flights in the diagram.", "two", "wrong-flights"),
        ("Before the key the king has {} squares.", "two", "wrong-flights"),
        ("After 1.Qd7 the king has exactly {}.", "one square", "wrong-flights"),
        ("After 1.Kb6 the king is left with {} flights.", "two", "wrong-flights"),
        ("Black has {} legal moves after 1.Kb6.", "two", "wrong-number-of-replies"),
        ("After 1.Kb6 Black may choose among {} replies.", "two", "wrong-number-of-replies"),
        ("After 1.Kb6 he can choose between {} moves.", "two", "wrong-number-of-replies"),
        ("After 1.Kb6 Black has the choice of {} moves.", "two", "wrong-number-of-replies"),
    ],
)
def test_the_position_is_named(words: str, right: str, rule: str) -> None:
    """What is so in another position of the line is no excuse."""
    wrong = "two squares" if right.startswith("one") else "three"
    assert rules(words.format(right)) == []
    assert rules(words.format(wrong)) == [rule]


def test_men_are_counted_behind_the_solution_too() -> None:
    assert rules("Count first, as always: two white men against one black.") == []
    assert rules("Count first, as always: three white men against one black.") == ["wrong-piece-count"]
    assert rules("Now count the men.\nPam: White two, black two.") == ["wrong-piece-count"]
