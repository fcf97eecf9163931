"""Captures told in the passive voice, of which each man named with "by" makes one."""

import chess
import pytest
from keyproof.grammar.cues import Stance
from keyproof.grammar.frames.build import frames
from keyproof.grammar.frames.values import Move
from keyproof.grammar.lexicon.lexemes import lexemes
from keyproof.grammar.spans import Span
from told_frames import moves_of, squares_of

KING, QUEEN, BISHOP, KNIGHT, PAWN = chess.KING, chess.QUEEN, chess.BISHOP, chess.KNIGHT, chess.PAWN


@pytest.mark.parametrize(
    ("text", "takers"),
    [
        ("The queen on e5 can be taken in two ways, by the knight or by the king.", [KNIGHT, KING]),
        ("The queen may be captured by the king, the bishop or the h-pawn.", [KING, BISHOP, PAWN]),
        ("If the queen is taken by the pawn, the rook goes to a8.", [PAWN, chess.ROOK]),
        ("The queen was taken by the knight and the king goes to c3.", [KNIGHT, KING]),
        ("she can be eaten by the bishop and by the king", [BISHOP, KING]),
    ],
)
def test_each_taker_makes_a_move(text: str, takers: list[chess.PieceType]) -> None:
    assert [each.ways[0].choices[0].piece for each in moves_of(text)] == takers


def test_what_is_taken_stands_where_they_go() -> None:
    moves = moves_of("The queen on e5 can be taken in three ways: by the bishop, by the king and by the knight on c4.")
    assert [squares_of(each) for each in moves] == [["e5"]] * 3
    assert all(each.ways[0].choices[0].captured == QUEEN for each in moves)
    assert [each.listed for each in moves] == [False, True, True]


def test_what_is_denied_is_denied_of_all() -> None:
    moves = moves_of("The queen cannot be taken by the bishop or the king.")
    assert [each.stance for each in moves] == [Stance.denied] * 2


@pytest.mark.parametrize(("verb", "led"), [("is taken", True), ("can be taken", False)])
def test_who_is_taken_may_have_gone_there(verb: str, led: bool) -> None:
    text = f"The knight on f6 {verb} by the bishop."
    posed = [each for each in frames(text, lexemes(text, Span(0, len(text)))) if isinstance(each, Move) and each.posed]
    assert ["if" in each.marks for each in posed] == [led]


@pytest.mark.parametrize(
    ("text", "taker", "taken"),
    [
        ("1 Qb7+ loses the queen to the king.", KING, QUEEN),
        ("1 Qb2 would just lose the lady to the knight.", KNIGHT, QUEEN),
        ("1 Bc4 gives the bishop to the b-pawn.", PAWN, BISHOP),
        ("1 Rg4 drops the rook to a pawn.", PAWN, chess.ROOK),
    ],
)
def test_who_is_lost_to_a_man_is_taken_by_him(text: str, taker: int, taken: int) -> None:
    capture = moves_of(text)[-1].ways[0].choices[0]
    assert (capture.piece, capture.captured) == (taker, taken)


@pytest.mark.parametrize("text", ["1 Qb7+ gives check to the king.", "1 Qb7+ loses the queen.", "He gives way to you."])
def test_nobody_takes_where_no_man_is_lost_to_another(text: str) -> None:
    assert not any(move.verb == "take" for move in moves_of(text))
