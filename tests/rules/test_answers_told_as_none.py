"""A printed answer that the sentence tells as one that fails, or is there no more, is held against nobody.

The position is that of the rules' own pages; the sentences are ours (common practice, no source). 1...h4 2.Re4+ is
check and no mate, by python-chess.
"""

import chess
import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.rules.finding import Level

TEXT = (
    "FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1\nMate in two.\n\n"
    "1.Kg2! is the key, a waiting move. 1...Kh4 2.Re4#. {} So 1...h4 2.Rg5#.\n"
)


def accused(sentence: str) -> list[str]:
    """Return the rules by which a sentence in the midst of the solution is accused."""
    found = check_text("a.txt", TEXT.format(sentence), Options(fresh=True)).findings
    return [each.finding.rule for each in found if each.finding.level is not Level.note]


def test_the_answer_is_no_mate() -> None:
    board = chess.Board("8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1")
    for san in ("Kg2", "h4", "Re4+"):
        board.push_san(san)
    assert board.is_check()
    assert not board.is_checkmate()


@pytest.mark.parametrize(
    "sentence",
    [
        "After 1...h4 2.Re4+ no longer works.",
        "1...h4 is the defence to 2.Re4.",
        "1...h4 defends against 2.Re4#.",
        "1...h4 robs White of 2.Re4.",
        "After 1...h4 there is no longer 2.Re4#.",
        "After 1...h4 the move 2.Re4+ would leave the square h5 unattended.",
        "After 1...h4 I can't see 2.Re4+ working.",
        "After 1...h4 2.Re4 is met by 2...Kh5.",
        "After 1...h4 you may be tempted by 2.Re4+, and you would be wrong.",
        "After 1...h4 2.Re4+ is useless.",
        "1...h4 takes the sting out of 2.Re4+.",
        "After 1...h4 2.Re4+ is ruled out.",
    ],
)
def test_an_answer_told_as_none_is_not_accused(sentence: str) -> None:
    assert accused(sentence) == []


@pytest.mark.parametrize(
    "sentence",
    [
        "After 1...h4 comes 2.Re4#.",
        "1...h4 is met by 2.Re4.",
        "On 1...h4 White has 2.Re4#.",
        "1...h4 runs into 2.Re4#.",
        "The answer to 1...h4 is 2.Re4#.",
        "1...h4 fails to 2.Re4#.",
        "If Black plays 1...h4 instead, then 2.Re4 mates.",
        "1...h4 opens the fourth rank to 2.Re4#.",
        "To 1...h4 White replies 2.Re4#.",
        "1...h4 allows 2.Re4#.",
        "And 1...h4, then? 2.Re4#.",
        "1...h4 2.Re4, mate.",
    ],
)
def test_an_answer_told_as_one_is(sentence: str) -> None:
    assert len(accused(sentence)) == 1
