"""What the walk makes of words that claim something of the play without telling a move, and of sets of moves.

The position is of our own making; what is true in it is what the prover says.
"""

import chess
import pytest
from keyproof.grammar.moves import Effect
from keyproof.grammar.scan import statements
from keyproof.grammar.spans import Span
from keyproof.rules.board.stipulation import Stipulation
from keyproof.rules.play.node import Node
from keyproof.rules.proof import prover
from keyproof.rules.reading.reading import Reading, Role
from keyproof.rules.reading.walk.outcome import read_walk

ROOK = "6Q1/7p/5P2/7k/1R6/7n/3K4/8 w - - 0 1"  # 1.Rg4; h6 2.Qg6, knight 2.Qg5 or 2.Qxg5, Kh6 2.Rh4
KING = "8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1"  # 1.Kg2; Kh4 2.Re4, h4 2.Rg5; 1.Rg5 fails to Kh3 and Kh4


def read(fen: str, text: str) -> Reading:
    """Read a text by the walk alone."""
    board = chess.Board(fen)
    asked = Stipulation.parse("#2")
    prose = [Span(0, len(text))]
    return read_walk(text, prose, statements(text, prose)[0], Node(board), prover.prove(board, asked, effort=5), 3)


def moves(reading: Reading, place: int) -> set[str]:
    """Return the last moves of the lines that a mention stands for."""
    return {node.move.uci() for node in reading.mentions[place].after if node.move}


@pytest.mark.parametrize(
    "text", ["1.Kg2! Whatever Black plays, he is mated.", "1.Kg2! All replies lose. 1...h4 2.Rg5#"]
)
def test_that_all_is_covered_names_no_reply(text: str) -> None:
    assert all(not mention.phrase.worded for mention in read(KING, text).mentions)


@pytest.mark.parametrize(
    ("text", "move"),
    [
        ("1.Kg2! The only move is 1...h4.", "h5h4"),
        ("1.Kg2! Then 1...h4. That is the only move.", "h5h4"),
        ("1.Kg2 and only now 1...h4 (forced) 2.Rg5#", "h5h4"),
    ],
)
def test_the_only_move_is_the_one_told_beside_it(text: str, move: str) -> None:
    (claim,) = (each for each in read(KING, text).claims if each.claim.kind == "only_move")
    assert claim.mention is not None
    assert [node.move.uci() for node in claim.mention.after if node.move] == [move]


def test_a_reply_left_without_an_answer_refutes_its_try() -> None:
    reading = read(KING, "Try: 1.Rg5+? Kh3. Key: 1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#")
    assert [mention.role for mention in reading.mentions[:4]] == [Role.try_, Role.refutation, Role.key, Role.defence]


def test_what_cannot_be_read_as_a_move_is_kept() -> None:
    assert [each.text for each in read(KING, "1.Kg2! Kh4 2.Re4#, 1...Bj8 2.Rg5#").not_understood] == ["1...Bj8"]


def test_any_move_of_a_man_is_taken_from_any_other() -> None:
    reading = read(ROOK, "1.Rg4! Any move of the knight 2.Qg5#. 1...h6 2.Qg6#. Any other move 2.Rh4#.")
    assert moves(reading, 5) == {"h5h6"}


def test_that_all_is_lost_tells_again_what_was_told() -> None:
    reading = read(KING, "1.Kg2! Kh4 2.Re4#. 1...h4 2.Rg5#. Any other move hurts him just as much.")
    assert moves(reading, 5) == {"g4h4", "h5h4"}


def test_a_printed_move_ends_before_words_for_any_reply() -> None:
    reading = read(KING, "1.Kg2! h4 2.Rg5# and 1...Kh4 2.Re4 any move 3.Rxe4#")
    assert [mention.phrase.text for mention in reading.mentions[4:6]] == ["Re4", "any move"]


def test_four_ways_to_promote_are_left_where_none_is_printed() -> None:
    reading = read("8/3P4/k7/8/K7/8/8/8 w - - 0 1", "1.d8! Ka7")
    assert moves(reading, 0) == {"d7d8q", "d7d8r", "d7d8b", "d7d8n"}


def test_a_square_with_its_sign_behind_a_try_refutes_it() -> None:
    reading = read("8/3P4/k7/8/K7/8/7p/8 w - - 0 1", "1.Ka3? h1! and so 1.d8=Q.")
    assert reading.mentions[1].phrase.annotation == "!"
    assert not reading.mentions[1].phrase.worded


@pytest.mark.parametrize("words", ["goes to any other square", "makes any other move", "plays any other move"])
def test_any_other_move_of_a_man_is_his(words: str) -> None:
    reading = read(ROOK, f"1.Rg4! If the knight takes g1... no. If the knight {words}, the queen goes to g five, mate.")
    told = next(mention for mention in reading.mentions if "other" in mention.phrase.text)
    assert {
        node.parent.board.piece_type_at(node.move.from_square) for node in told.after if node.parent and node.move
    } == {chess.KNIGHT}


@pytest.mark.parametrize(
    ("behind", "mates"),
    [
        ("That is mate.", True),
        ("So it is mate.", True),
        ("Is it mate?", False),
        ("1...h4 2.Rg5. It is mate.", False),
    ],
)
def test_mate_may_be_said_in_a_later_sentence(behind: str, mates: bool) -> None:
    reading = read(KING, f"1.Kg2! If the king goes to h4, the rook goes to e4 with check. {behind}")
    (answer,) = (each for each in reading.mentions if "e4" in each.phrase.text)
    assert bool(answer.says(Effect.mate)) is mates


@pytest.mark.parametrize("can", ["can", "may", "could"])
def test_who_can_only_move_a_man_may_have_several_moves(can: str) -> None:
    reading = read(KING, f"1.Kg2! Now Black {can} only move the king or the pawn. 1...Kh4 2.Re4#")
    assert not [each for each in reading.claims if each.claim.kind == "only_move"]
