"""What stands beside a finding and may speak against it, or not: words for other squares, a list that is answered."""

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text

COVERED = """FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
Mate in two.

1.Kg2! Kh4 2.Re4#, no matter what Black plays. The parrot mumbles about {square} now and then, as parrots do.
"""
LISTED = """FEN: 1k6/4Q3/8/K7/8/8/8/8 w - - 0 1
Mate in two.

Nobody oiled the hinge of f1 that year. The key is king to b6. If the king goes to a8, the queen mates on b7.
My uncle mumbles of g2. {replies} 2.Qd8.
The lid with e1 on it was scratched. Our parrot is dead.
"""


COUNTED = """FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
Mate in two.

The lid with e1 on it was scratched. Nobody oiled the hinge of f1 that year. The key is king to g2. Our parrot mumbles
of a4. {words} My uncle mumbles of b5. Nobody knows what hung over c7 in that house.
"""


def errors(text: str) -> list[str]:
    """Return the rules of the errors in a text."""
    found = check_text("solution.txt", text, Options()).findings
    return [each.finding.rule for each in found if each.finding.level.name == "error"]


def test_nothing_is_left_out_is_false_though_words_for_another_square_were_not_understood() -> None:
    """Words for the square of the reply that is missing may tell it."""
    assert errors(COVERED.format(square="c7")) == ["defence-left-out"]
    assert errors(COVERED.format(square="h4")) == []


def test_an_answer_to_a_list_is_as_sure_of_its_place_as_one_to_a_single_reply() -> None:
    """All that it answers is printed in its sentence; where words tell one of them, it may be told elsewhere."""
    assert errors(LISTED.format(replies="1...Ka8 and 1...Kc8 allow")) == ["answer-fails"]
    assert errors(LISTED.format(replies="King to a8 and 1...Kc8 allow")) == []


@pytest.mark.parametrize(
    ("words", "faults"),
    [
        ("Black has three moves in all.", ["wrong-number-of-replies"]),
        ("Black has only two legal moves.", []),
        ("Black has three legal moves.", ["wrong-number-of-replies"]),
        ("He has three moves.", []),
    ],
)
def test_all_moves_that_there_are(words: str, faults: list[str]) -> None:
    """They are counted in one position, whatever stands around the words."""
    assert errors(COUNTED.format(words=words)) == faults
