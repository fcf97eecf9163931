"""Mating moves that a text considers and gives up, each with the reply that escapes.

The position is of our own making; what is true in it is what the prover says.
"""

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.rules.finding import Level

FEN = "6Q1/7p/5P2/7k/1R6/7n/3K4/8 w - - 0 1"  # 1.Rg4; h6 2.Qg6, N 2.Qg5, Ng5 2.Qxg5, Kh6 2.Rh4: not 2.Qg5+, Nxg5
LINES = "Key: 1.Rg4! Then 1...h6 2.Qg6#, 1...N~ 2.Qg5#, 1...Ng5 2.Qxg5#."


def errors(text: str) -> list[str]:
    result = check_text("a.txt", f"FEN: {FEN}\nMate in two.\n{LINES} {text}\n", Options(fresh=True))
    told = [each.finding for each in result.findings if each.finding.level is Level.error]
    return [each.rule for each in told]


@pytest.mark.parametrize(
    "text",
    [
        "1...Kh6 and now 2.Qg5+ would be met by Nxg5, so White mates with 2.Rh4.",
        "After 1...Kh6 2.Qg5+? Nxg5 is no good, but 2.Rh4 is mate.",
        "1...Kh6 2.Rh4# (not 2.Qg5+, because of Nxg5).",
        "1...Kh6 2.Rh4#; 2.Qg5+ fails to 2...Nxg5.",
        "If the king goes to h6, queen g5 is met by knight takes g5, so rook h4 it is, mate.",
        "If 1...Kh6, then 2.Qg5+ can be answered by Nxg5; the mate is 2.Rh4.",
        "King h6, and if you now give check on g5 with the queen, the knight takes her. Rook h4 instead, mate.",
        "1...Kh6 is answered by 2.Rh4 mate, since 2.Qg5+ would lose the queen to Nxg5.",
        "On 1...Kh6 the queen must not go to g5, as the knight takes; 2.Rh4 mates.",
        "1...Kh6 2.Qg5+ would be no mate: Nxg5. Therefore 2.Rh4#.",
        "Once the king stands on h6, 2.Qg5+ would only be taken by the knight; hence 2.Rh4#.",
        "And king h6? Queen g5 check, he takes with the knight. So rook h4, and that is mate.",
    ],
)
def test_a_mating_move_that_is_given_up_is_no_false_answer(text: str) -> None:
    assert errors(text) == []


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("1...Kh6 2.Qg5.", "answer-fails"),
        ("1...Kh6 2.Qg5#, and not 2.Rh4.", "check-not-mate"),
        ("If the king goes to h6 then queen g5, and that is mate, for the knight cannot take.", "check-not-mate"),
        ("1...Kh6 2.Rh4+? Kxh4.", "move-after-the-end"),
    ],
)
def test_one_that_is_not_given_up_must_mate(text: str, found: str) -> None:
    assert errors(text) == [found]
