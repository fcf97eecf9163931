"""Words that look like a move nobody can play, and of which nothing may be held against their author."""

import pytest
from keyproof.grammar.scan import statements
from keyproof.grammar.sentences import listed
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Break
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text

HEAD = "FEN: K5n1/8/1R1p4/2k5/1p4Q1/1P3p2/8/6n1 w - - 0 1\nMate in two.\n\nKey: 1.Kb7! (threat 2.Qc4#).\n"
ROOK = "FEN: 4k2r/5p2/2K2P1n/8/8/8/8/6Q1 w k - 0 1\nMate in two.\n\nThe key is 1.Qg3 (threat 2.Qb8 mate).\n"


def errors(text: str) -> list[str]:
    """Return the rules of the errors found in a text."""
    found = check_text("solution.txt", text, Options())
    return [each.finding.rule for each in found.findings if each.finding.level.name == "error"]


@pytest.mark.parametrize(
    "text",
    [
        "She stops 1...O-O from there, for she holds g8.",
        "It prevents castling.",
        "This rules out 1...O-O and leaves him two moves.",
        "The queen forbids 1...O-O.",
    ],
)
def test_a_move_that_something_prevents(text: str) -> None:
    """That it cannot be played is what the author says."""
    assert errors(ROOK + text) == []


def test_a_move_that_is_said_to_be_played() -> None:
    """The same move told as one that Black makes cannot be played."""
    assert errors(ROOK + "After 1...O-O 2.Qb8 mates.") == ["castling-into-check"]


@pytest.mark.parametrize(
    "text",
    [
        "The rook keeps the king off b5 and then Qc4# is coming.",
        "She was there first. Run off to b5 and the queen catches you.",
        "Two moves to mate, with a queen and a pawn about to be one.",
    ],
)
def test_words_that_tell_no_move(text: str) -> None:
    """They name a man and a square, or seem to, and tell of no move that he makes."""
    assert errors(HEAD + text) == []


@pytest.mark.parametrize("text", ["If the king goes to b5, the queen mates on c4.", "1...Kb5 2.Qc4#"])
def test_moves_that_cannot_be_played(text: str) -> None:
    """What is told as a move is still held against the author."""
    assert len(errors(HEAD + text)) == 1


def line_ends(text: str) -> list[str]:
    """Return what each end of a line is taken for: a line, or the end of a sentence."""
    whole = Span(0, len(text))
    given = listed(statements(text, [whole])[0], text)
    return [each.kind for each in given if isinstance(each, Break) and each.span.of(text).startswith("\n")]


def test_lines_of_prose_that_happen_to_begin_with_numbers_are_no_list() -> None:
    """A sentence goes on behind the end of its line: "any other move is met by" and the answer are told together."""
    prose = "2.Nxd7 is mate. If the king goes to a6 then 2.Nc4 is mate. Any other move is met by\n2.Qa8 mate.\n"
    assert line_ends(prose)[0] == "line"
    assert line_ends("1...Kd5 2.Rb5#\n1...d5 2.Qxb4#\nWho saw that?\n")[:2] == ["stop", "stop"]


TWO_BISHOPS = "FEN: B1k3n1/p7/8/1K2B3/8/8/8/7R w - - 0 1\n"


def test_what_is_told_next_says_which_move_is_meant() -> None:
    """The knight can take on f6 only."""
    assert errors(TWO_BISHOPS + "The try 1 B to B6 is met by 1 ... Kt takes B.") == []
    assert errors(TWO_BISHOPS + "The try 1 B to B6 is met by 1 ... P to R3.") == ["ambiguous-move"]


@pytest.mark.parametrize(
    "text",
    [
        "The key gives up what was there and puts 2.Qd4 in its place, while 2.Qc4 is threatened.",
        "Everybody asks the same. Waiter! The bill.",
        "His king is slow, and his knight jumps about. To h6, we do not mind.",
        "So it is a threat, this is no zugzwang.",
        "A reader wants to know if 1...d5 is forced. It is not.",
        "My aunt's parrot mumbles about g7, and all of e4 belongs to queen and rook.",
    ],
)
def test_words_beside_the_threat(text: str) -> None:
    """A move that something else is said of, a call, a square that only the other side can reach."""
    assert errors(HEAD + text) == []


def test_words_for_the_threat_itself() -> None:
    """What is called a threat must be one, and what is called a waiter must threaten nothing."""
    assert errors(HEAD + "White now threatens 2.Qd4 as well.") == ["threat-fails"]
    assert errors(HEAD + "The key is a waiter.") == ["threat-overlooked"]


LEFT = "My aunt's parrot mumbles about g7. "


@pytest.mark.parametrize("told", ["If the pawn goes to d5, the queen goes to d4.", "After d5 the queen goes to e4."])
def test_an_answer_told_in_full_stands_by_itself(told: str) -> None:
    """It names its man and square in the sentence of its defence, so that it can answer nothing else."""
    assert errors(HEAD + LEFT + told + " " + LEFT) == ["answer-fails"]


@pytest.mark.parametrize(
    "told",
    [
        "If the pawn goes to d5, the queen takes on b4.",
        "The pawn goes to d5. And then? The queen, d4.",
        "If the pawn goes to d5, should the queen go to d4?",
        "If the pawn goes to d5, d4.",
    ],
)
def test_other_answers_need_what_stands_around_them(told: str) -> None:
    assert errors(HEAD + LEFT + told + " " + LEFT) == []


def test_a_field_of_a_file_is_no_quotation() -> None:
    """What stands in quotation marks with a semicolon behind it at the end of a line is the value of a field."""
    assert errors(HEAD + 'c1 "1...d5 2.Qd4#";\n') != []
    assert errors(HEAD + 'One of you wrote "1...d5 2.Qd4#" and was wrong.\n') == []
    assert errors(HEAD + 'c1 "1...d5 2.Qxb4#";\n') == []


def test_a_sign_of_the_key_says_more_than_a_word_for_a_try() -> None:
    head = HEAD.partition("Key")[0]
    assert errors(head + "A natural try is 1.Kb7!, threatening 2.Qc4#, so it is none.\n") == []
    assert errors(head + "A natural try is 1.Kb7?, threatening 2.Qc4#.\n") != []
