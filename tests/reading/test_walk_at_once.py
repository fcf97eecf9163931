"""What is printed right behind a move answers that move, be it true there or not; and what is said to refute must.

The positions are of our own making; what is true in them is what the prover and python-chess say.
"""

import chess
import pytest
from keyproof.grammar.lexicon.lexemes import lexemes
from keyproof.grammar.spans import Span
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.linter.results import FileResult

BISHOPS = "8/3pPP2/1P6/3k1K2/5Q2/8/4B3/8 w - - 0 1"  # 1.Qc7; 1.Qe5+, 1.Qb4 and 1.e8=N fail to Kc6 alone
ROOK = "6Q1/7p/5P2/7k/1R6/7n/3K4/8 w - - 0 1"  # 1.Rg4; h6 2.Qg6, knight 2.Qg5 or 2.Qxg5, Kh6 2.Rh4


def checked(fen: str, text: str) -> FileResult:
    return check_text("a.txt", f"FEN: {fen}\nMate in two.\n{text}\n", Options(fresh=True))


def found(fen: str, text: str) -> list[tuple[str, str]]:
    """Return the errors and warnings, each with the words it points at; duals apart."""
    result = checked(fen, text)
    told = [each.finding for each in result.findings if each.finding.level.value != "note"]
    return [(each.rule, each.span.of(result.text)) for each in told if each.rule != "dual"]


@pytest.mark.parametrize("number", ["1...", "1. ...", "1 ...", "1.. ", "1…", "1. …", "1. . ."])
def test_a_number_of_black_is_one_number(number: str) -> None:
    first, second = lexemes(f"{number} Kd6", Span(0, len(number) + 4))
    assert first.number is not None
    assert (first.number.value, first.number.second, second.kind) == (1, True, "move")


def test_the_answers_are_as_the_tests_have_them() -> None:
    board = chess.Board(ROOK)
    for san in ("Rg4", "h6", "Qg5"):
        board.push_san(san)
    assert not board.is_checkmate()
    board = chess.Board(BISHOPS)
    board.push_san("Qb4")
    assert chess.Move.from_uci("d5d4") not in board.legal_moves
    assert chess.Move.from_uci("d5d6") not in board.legal_moves


@pytest.mark.parametrize(
    "text",
    [
        "1.Rg4! The knight is free to go: 1...Nf2 2.Qg5 mate. 1. ... h6 2.Qg5 mate. 1. ... Kh6 2.Rh4 mate.",
        "1.Rg4! zugzwang. The replies: 1...Nf4 2.Qg5 mate, 1...h6 2.Qg5 mate, 1...Kh6 2.Rh4 mate.",
    ],
)
def test_a_false_answer_stays_with_its_defence(text: str) -> None:
    rules = {rule for rule, _ in found(ROOK, text)}
    assert rules & {"check-not-mate", "answer-fails", "illegal-move"}, found(ROOK, text)


@pytest.mark.parametrize(
    "text",
    [
        "Key 1.Qc7! Not 1.Qb4? Kd6!",
        "The key is 1.Qc7! 1.Qb4? misses 1...Kd6!",
        "1.Qc7! and not 1.Qb4? 1. ... Kd6!",
    ],
)
def test_a_reply_printed_behind_a_try_is_played_there_or_nowhere(text: str) -> None:
    assert [words for _, words in found(BISHOPS, text)] == ["Kd6!"]


@pytest.mark.parametrize(
    "text",
    [
        "Key 1.Qc7! Tries: 1.Qb4? Kc6! and 1.e8=N? Kc6!",
        "The key is 1.Qc7! 1.Qb4? misses 1...Kc6!",
        "1.Qc7! The queen takes to b4? No: the king goes to c6 and I've nothing.",
    ],
)
def test_a_true_refutation_is_none_of_it(text: str) -> None:
    assert found(BISHOPS, text) == []


def test_words_that_leave_nothing_call_a_reply_a_refutation() -> None:
    text = "The key is queen to c seven. Queen to b four is tempting, but the king goes to c six and we've nothing.\n"
    result = checked(BISHOPS, text)
    assert [each.finding.rule for each in result.findings] == []
    assert result.account.placed == result.account.total


@pytest.mark.parametrize(
    ("text", "errors"),
    [
        ("Key: 1.Rg4! h6 3.Qg6#, 1...Kh6 2.Rh4#, 1...N~ 2.Qg5#, 1...Ng5 2.Qxg5#", [("wrong-move-number", "3.")]),
        ("1.Rg4! h6 2.Qg6#. 1...Kh6 2.Rh4#. The move 2.Rh4 is double check.", [("not-double-check", "double check")]),
        ("Key: 1.Rg4! h6 2.Qg6# Kh4, 1...Kh6 2.Rh4#", [("move-after-the-end", "Kh4")]),
        ("Key: 1.Rg4!\n\n- 1...h6 2.Qg6#\n- 1...Kh6 2.Rh4 is not mate.", [("mate-denied", "mate")]),
    ],
)
def test_what_is_printed_among_the_lines_of_the_key_is_no_other_line(text: str, errors: list[tuple[str, str]]) -> None:
    assert [each for each in found(ROOK, text) if each[0] != "defence-left-out"] == errors


@pytest.mark.parametrize(
    "text",
    [
        "Set play: 1...h6 2.Qg6#. Key: 1.Rg4! h6 2.Qg6# Kh6 2.Rh4# N~ 2.Qg5#",
    ],
)
def test_lines_told_without_their_numbers_and_the_set_play_are(text: str) -> None:
    assert found(ROOK, text) == []


def test_a_number_that_names_a_position_of_the_line_is_no_slip() -> None:
    text = "Key: 1.Rg4! h6 2.Qg6#, 1...Kh6: here 2.Qg5+ would be met by Nxg5, so White mates with 2.Rh4. 1...N~ 2.Qg5#"
    assert found(ROOK, text) == []


@pytest.mark.parametrize(
    "told",
    [
        "1.Qe5+ fails to 1...Kc6. Two readers sent 1.Qb4, overlooking the reply 1...d6.",
        "1.Qe5+ is answered by 1...Kc6, and 1.Qb4, quieter, by 1...Kd4.",
        "A word on 1.Qe5+, 1...Kc6. Hastier still: 1.Qb4, when the escape is 1...Kd4.",
    ],
)
def test_a_numbered_reply_answers_the_try_of_its_own_sentence(told: str) -> None:
    """It may well be played after the try before, and is not meant there."""
    rules = {rule for rule, _ in found(BISHOPS, f"1.Qc7! Tries. {told}")}
    assert rules & {"illegal-move", "king-into-check", "refutation-fails"}, found(BISHOPS, told)
