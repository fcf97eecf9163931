"""A claim, true or false, in each stance: only what is asserted can be called false.

The position is that of the examples of the rules; in it 1.Kg2 is the only key, 1...Kh4 2.Re4 is mate and
2.Re3 is not (python-chess says so in `test_the_claims_are_what_they_are_called`).
"""

import chess
import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.rules.finding import Level

FEN = "8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1"
FRAME = (
    "FEN: {fen}\nMate in two.\n"
    "The key is king to g two. If the king goes to h four, rook to e four is mate. "
    "If the pawn moves to h four, rook to g five is mate.\n{words}\n"
)
TRUE = "after king to h four rook to e four is mate"
FALSE = "after king to h four rook to e three is mate"
SILENT = {
    "denied": "It is not true that {}.",
    "asked": "What if {}?",
    "wished": "I wish that {}.",
    "reported": "A reader thought that {}.",
    "said by another": "Q: {}.",
    "in a letter": "> {}.",
    "printed once": "In March we printed {}.",
    "pretended": "Pretend that {}.",
}


def graver(words: str) -> list[str]:
    result = check_text("a.txt", FRAME.format(fen=FEN, words=words), Options(effort=1, fresh=True))
    return [placed.finding.rule for placed in result.findings if placed.finding.level is not Level.note]


def test_the_claims_are_what_they_are_called() -> None:
    for move, mate in (("Re4", True), ("Re3", False)):
        board = chess.Board(FEN)
        for san in ("Kg2", "Kh4", move):
            board.push_san(san)
        assert board.is_checkmate() is mate


def test_what_is_asserted_is_called_false_where_it_is() -> None:
    assert graver(f"{TRUE.capitalize()}.") == []
    assert graver(f"{FALSE.capitalize()}.") != []


@pytest.mark.parametrize("claim", [TRUE, FALSE])
@pytest.mark.parametrize("stance", SILENT)
def test_what_is_not_asserted_is_no_error(stance: str, claim: str) -> None:
    assert graver(SILENT[stance].format(claim)) == []
