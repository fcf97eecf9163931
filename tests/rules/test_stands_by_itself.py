"""What is found false however little around it was understood: an effect right behind its move, and numbers.

In the position 1.Qc7 solves, and 1.Bc4+ and 1.e8=N fail to one reply each, to ...Kc5 and to ...Kc6; 1...d6 is answered
by 2.Qc4 and 1...Kd4 by 2.Qe5 alone (python-chess says so in `test_the_claims_are_what_they_are_called`).
"""

import chess
import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.linter.results import PlacedFinding
from keyproof.rules.finding import Level

FEN = "8/3pPP2/1P6/3k1K2/5Q2/8/4B3/8 w - - 0 1"
UNREAD = "The square h four frobs g three and e two. "
FRAME = f"FEN: {FEN}\nMate in two.\n{{told}}\n{UNREAD}\nThe key is queen to c7. {UNREAD * 2}\n"


def found(told: str) -> set[str]:
    """Return the rules of the errors and warnings in a text of which hardly anything else is understood."""
    text = FRAME.format(told=told)
    return {each.finding.rule for each in check_text("a.txt", text, Options(fresh=True)).findings if _grave(each)}


def _grave(placed: PlacedFinding) -> bool:
    return placed.finding.level is not Level.note


def mates(*line: str) -> set[str]:
    """Return the moves that mate after some others."""
    board = chess.Board(FEN)
    for san in line:
        board.push_san(san)
    return {board.san(move) for move in board.legal_moves if board.san(move).endswith("#")}


def test_the_claims_are_what_they_are_called() -> None:
    assert mates("Bc4+", "Kc6")
    assert not mates("Bc4+", "Kc5")
    assert mates("Bb5", "d6")
    assert not mates("Bb5", "Kc5")
    assert mates("Qc7", "d6") == {"Qc4#"}
    assert mates("Qc7", "Kd4") == {"Qe5#"}


@pytest.mark.parametrize(
    "told",
    [
        "Bishop to c4 check is close, but the king goes to c6 and you have no mate.",
        "Bishop c4, check? That is the best of the wrong ones, but it goes wrong to king c6.",
        "I trusted the bishop on c4 for an hour, until I saw that the king goes to c6 and there is no mate.",
        "If you chose 1.Bc4+ you were close, but 1...Kc6 spoils it.",
        "1.Bc4+ would guard d3, yet it fails to 1...Kc6.",
        "1.Bc4+, which frobs the whole of the slope, is met by 1...Kc6!",
        "Nine solvers sent 1.Bc4+; they overlook 1...Kc6.",
        "Bishop to c4 check looks good. The king on c6 beats that.",
    ],
)
def test_a_reply_said_to_refute_right_behind_its_first_move(told: str) -> None:
    assert "refutation-fails" in found(told)


@pytest.mark.parametrize(
    "told",
    [
        "Queen c7. And if the king goes to d4? Queen to c4, mate.",
        "Queen c7. King d4, it eyes c3 but too late, queen c4, mate.",
        "Queen c7. The threat is queen to c4 mate.",
        "1.Qc7 threatens 2.Qc4 mate.",
        "Queen c7. If the pawn goes to d6, queen takes d6. Mate.",
        "Queen c7. King to d4? Queen e5, or queen c4, as you please.",
        "Queen c7. On king d4 she goes to e5 or takes on d7, either is mate.",
    ],
)
def test_a_mate_right_behind_the_reply_it_answers(told: str) -> None:
    assert found(told) & {"check-not-mate", "mate-without-check"}


@pytest.mark.parametrize(
    "told",
    [
        "Queen c7. If the pawn goes to d6 there are two mates, queen c6 among them.",
        "Queen c7. On pawn d6 I counted two mates: queen c6 and queen a5.",
    ],
)
def test_a_number(told: str) -> None:
    assert "wrong-number-of-mates" in found(told)


def test_a_king_said_to_escape_where_he_cannot() -> None:
    assert "king-into-check" in found(
        "Bishop to b5 is close, but then he just goes to c6 with the king and you've nothing."
    )


def test_a_first_move_that_castles_through_check() -> None:
    position = "FEN: 8/8/8/8/8/1p6/2k5/R3K2B w Q - 0 1\nMate in two.\n"
    text = f"{position}{UNREAD * 3}1.O-O-O would look after d3 again. {UNREAD}\n"
    rules = {each.finding.rule for each in check_text("a.txt", text, Options(fresh=True)).findings}
    assert "castling-through-check" in rules


@pytest.mark.parametrize(
    "told",
    [
        f"Bishop to c4 check. {UNREAD}But the king goes to c6 and there is no mate.",  # he may speak of another
        f"Queen c7. And if the king goes to d4? {UNREAD}Queen to c4, mate.",
        "Queen c7. King d4, and queen c4 would not be mate.",
        "Queen c7. If the king goes to d4, queen e5 is mate. If any other man frobs, queen c4 is mate.",
    ],
)
def test_not_where_another_move_may_be_meant(told: str) -> None:
    assert found(told) <= {"key-fails"}
