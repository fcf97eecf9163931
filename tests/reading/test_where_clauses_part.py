"""Where one clause ends and the next begins in frames: after a denial, a correction, a square that is no promotion."""

import pytest
from keyproof.grammar.cues import Stance
from keyproof.grammar.frames.build import frames
from keyproof.grammar.frames.values import Move
from keyproof.grammar.lexicon.lexemes import lexemes
from keyproof.grammar.spans import Span


def told(text: str) -> list[tuple[str, Stance]]:
    found = frames(text, lexemes(text, Span(0, len(text))))
    return [(each.span.of(text), each.stance) for each in found if isinstance(each, Move) and not each.posed]


@pytest.mark.parametrize(
    ("text", "moves"),
    [
        ("nothing happens and you try rook to c five", ["rook to c five"]),
        ("the rook isn't pinned any more, and it goes to d four", ["it goes to d four"]),
        ("the rook takes her no bishop to a six", ["the rook takes her", "bishop to a six"]),
        ("if he goes to g one queen to g two is mate", ["he goes to g one", "queen to g two is mate"]),
        ("the bishop blocks on d two", ["the bishop blocks on d two"]),
        ("the knight on c three drops back to b one", ["the knight on c three drops back to b one"]),
        ("the pawn on a seven is one step from becoming a queen", []),
        ("as no man covers her and the king just takes her", ["the king just takes her"]),
        ("since nothing guards the rook, and his knight quietly captures it", ["his knight quietly captures it"]),
        ("because the bishop looks right through the empty square d five", []),
        ("for our rook sees through e four to e two", []),
        ("and with that pawn on f seven you need two moves", []),
    ],
)
def test_clauses_part(text: str, moves: list[str]) -> None:
    assert told(text) == [(each, Stance.asserted) for each in moves]


@pytest.mark.parametrize(
    ("text", "moves"),
    [
        ("and if she checks\n\nfrom e one he goes to g eight", ["she checks\n\nfrom e one", "he goes to g eight"]),
        ("so a quiet\nmove rook to d four", ["rook to d four"]),
        ("the king hides on a one so one quiet move then", ["the king hides on a one"]),
        ("again white mates\n\nin two moves his pawn cannot go", ["his pawn cannot go"]),
        ("white wins by a quick hop to d four", ["hop to d four"]),
    ],
)
def test_what_captions_part_goes_on(text: str, moves: list[str]) -> None:
    found = frames(text, lexemes(text, Span(0, len(text))), flowing=True)
    assert [each.span.of(text) for each in found if isinstance(each, Move)] == moves


def test_no_castling_is_denied() -> None:
    assert told("No castling here.") == [("castling", Stance.denied)]


@pytest.mark.parametrize(
    ("text", "marks"),
    [
        ("no good either so queen to c five", set()),
        ("he has nothing there okay so what about a check queen to c five", {"try"}),
        ("how about queen to c five", {"try"}),
        ("pause here if you want to try\nhere comes the key\nqueen to c five", {"key", "if"}),
        ("rook to d one, which used to be answered by the king, queen to c five", set()),
    ],
)
def test_what_a_move_is_called(text: str, marks: set[str]) -> None:
    found = frames(text, lexemes(text, Span(0, len(text))), flowing=True)
    (queen,) = (each for each in found if isinstance(each, Move) and each.who is not None and each.who.kinds == (5,))
    assert queen.marks - {"then", "at line"} == marks


def test_a_check_that_names_the_next_move_is_not_said_of_the_one_before() -> None:
    text = "1.Qc5? is met by 1...Ra7; and the check 1.Bc6+ by 1...Kd8."
    moves = [each for each in frames(text, lexemes(text, Span(0, len(text)))) if isinstance(each, Move)]
    assert [each.effects for each in moves] == [(), (), (), ()]


def test_nor_a_check_that_is_only_proposed() -> None:
    text = "the king goes to a5 and we have nothing so what about a check"
    (move,) = (each for each in frames(text, lexemes(text, Span(0, len(text)))) if isinstance(each, Move))
    assert not move.effects


def test_what_nothing_forbids_can_be_played() -> None:
    text = "That does not forbid castling."
    (move,) = (each for each in frames(text, lexemes(text, Span(0, len(text)))) if isinstance(each, Move))
    assert move.able
    assert move.stance is Stance.asserted


def test_a_square_of_which_the_next_line_says_that_it_is_guarded_is_no_move() -> None:
    text = "you put the queen on d4 and now b2\nis guarded"
    moves = [each for each in frames(text, lexemes(text, Span(0, len(text))), flowing=True) if isinstance(each, Move)]
    assert [each.span.of(text) for each in moves] == ["put the queen on d4"]
