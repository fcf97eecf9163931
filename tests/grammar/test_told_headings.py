"""Moves told by where they lead, squares told before the man that goes there, what a pawn becomes behind a comma."""

import chess
import pytest
from keyproof.grammar.moves import MovePhrase
from keyproof.rules.board.resolve import meant_moves
from told_frames import moves_of, squares_of

_MEN = chess.Board("8/5p2/8/8/r7/k4B2/6P1/4K2R w - - 0 1")


def _phrases(text: str) -> list[MovePhrase]:
    return [move.ways[0].choices[0] for move in moves_of(text)]


def _meant(board: chess.Board, text: str) -> set[str]:
    (phrase,) = _phrases(text)
    return {board.san(move) for move in meant_moves(board, phrase)}


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("The rook goes up.", {"Rh2", "Rh3", "Rh4", "Rh5", "Rh6", "Rh7", "Rh8"}),
        ("Up goes the rook.", {"Rh2", "Rh3", "Rh4", "Rh5", "Rh6", "Rh7", "Rh8"}),
        ("The rook steps two squares up.", {"Rh3"}),
        ("Swing the rook to the left.", {"Rg1", "Rf1"}),
        ("The rook slides along the rank.", {"Rg1", "Rf1"}),
        ("The king one step to the left.", {"Kd1"}),
        ("The king steps one square up.", {"Kd2", "Ke2", "Kf2"}),
        ("The rook drops into the corner.", {"Rh8"}),
        ("The rook goes over to the third rank.", {"Rh3"}),
        ("Our pawn goes forward one square.", {"g3"}),
    ],
)
def test_directions_are_those_that_white_sees(text: str, meant: set[str]) -> None:
    assert _meant(_MEN, text) == meant


@pytest.mark.parametrize("text", ["Back goes the rook.", "The rook goes back where it came from."])
def test_a_man_goes_back_where_it_came_from(text: str) -> None:
    board = _MEN.copy()
    board.push_san("Rh8")
    board.push_san("Kb2")
    assert "Rh1" in _meant(board, text)
    assert not _meant(board, text) & {"Rg8", "Rf8"}


@pytest.mark.parametrize(
    ("text", "squares"),
    [
        ("He slips up the board, a4.", ["a4"]),
        ("Then the rook goes up too, to d5.", ["d5"]),
        ("Back he comes again to a3.", ["a3"]),
        ("He goes forward, sort of, to h4.", ["h4"]),
        ("Then g3 is where he goes.", ["g3"]),
        ("And there it's f2 he runs to.", ["f2"]),
        ("To d6 he goes.", ["d6"]),
        ("Nobody's watching a5 now, so that's where he goes.", ["a5"]),
        ("To d5, the rook, that is.", ["d5"]),
        ("After g2 she slides, to a1.", ["g2", "a1"]),
    ],
)
def test_squares_and_men_are_joined(text: str, squares: list[str]) -> None:
    found = moves_of(text)
    assert [chess.square_name(move.ways[0].choices[0].destination or 0) for move in found] == squares
    assert found[-1].who is not None


@pytest.mark.parametrize(
    ("text", "becomes"),
    [
        ("Better: d8, promoting to a knight.", chess.KNIGHT),
        ("f8, knight, check.", chess.KNIGHT),
        ("Pawn to f8, a queen, naturally.", chess.QUEEN),
        ("The pawn goes to d1, rook, and that is mate.", chess.ROOK),
        ("Pawn up, queen.", chess.QUEEN),
    ],
)
def test_what_a_pawn_becomes_is_told_behind_a_comma(text: str, becomes: chess.PieceType) -> None:
    assert _phrases(text)[0].promotion == becomes


@pytest.mark.parametrize("text", ["d8, queen takes d8, mate", "a1, rook to b1", "I went home.", "It is left over."])
def test_what_is_no_promotion_and_no_direction(text: str) -> None:
    assert not any(phrase.promotion or phrase.heading for phrase in _phrases(text))


@pytest.mark.parametrize("text", ["White king in the middle of the storm on d4", "a pawn one step from home on g7"])
def test_a_noun_is_no_verb(text: str) -> None:
    assert not any(move.verb for move in moves_of(text))


def test_he_moves_is_no_letter_of_a_man() -> None:
    (phrase,) = _phrases("He moves the little pawn, e5.")
    assert (phrase.piece, phrase.destination) == (chess.PAWN, chess.E5)


@pytest.mark.parametrize(
    "text",
    [
        "The bishop looks down to g4.",
        "The rook stares along the rank at g2.",
        "The queen peers across to h4.",
        "Our bishop glares up at e8.",
        "The rook is looking straight at f1.",
    ],
)
def test_nobody_goes_where_he_only_looks(text: str) -> None:
    assert moves_of(text) == []


def test_what_is_taken_is_not_where_the_man_may_also_go() -> None:
    taken, gone = (move.ways[0].choices[0] for move in moves_of("The rook takes a3, or to b4."))
    assert taken.capture
    assert not gone.capture
    assert gone.destination == chess.B4
    assert moves_of("The rook takes a3, or to b4.")[1].listed


@pytest.mark.parametrize("text", ["You might go queen g1.", "The queen does it, and you could go queen g1."])
def test_a_man_named_again_behind_the_verb_is_one_move(text: str) -> None:
    (move,) = moves_of(text)
    assert squares_of(move) == ["g1"]


@pytest.mark.parametrize(
    "text", ["Bb3 and Ra3 are both threatened.", "Bb3 and Ra3 are threats.", "Now Bb3 and Ra3 are threatened."]
)
def test_all_moves_of_a_list_are_threats(text: str) -> None:
    assert [{"was threat"} <= move.marks for move in moves_of(text)] == [True, True]


def test_only_the_moves_of_the_list_are_threats() -> None:
    assert [{"was threat"} <= move.marks for move in moves_of("1.Bc5, and Ra3 is threatened.")] == [False, True]


@pytest.mark.parametrize(
    "text",
    [
        "Either of the other pawn moves is met by 2.Qb2 mate.",
        "Each of his other pawn moves allows 2.Qb2 mate.",
        "Both of the other pawn moves: 2.Qb2 mate.",
    ],
)
def test_either_of_the_others_is_a_set_of_moves(text: str) -> None:
    others, answer = moves_of(text)
    assert others.who is not None
    assert others.who.other
    assert others.ways[0].choices[0].every
    assert squares_of(answer) == ["b2"]
