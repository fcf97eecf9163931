"""Words that say a move fails without telling another, and small ways of talk around moves."""

import chess
import pytest
from keyproof.grammar.cues import Stance
from told_frames import moves_of, squares_of


@pytest.mark.parametrize(
    "text",
    [
        "Knight c5, and he goes to d7 and that's the end of it.",
        "Rook c7, king a8, and that leaves nothing.",
        "Queen b2, king b4, and you haven't got it.",
        "Queen c2, king c5, and he's laughing.",
        "Bishop e5, pawn h4, bye bye.",
        "Rook c1, king d7, and you're stuck.",
        "Queen e4 and he goes to b7, and that's no good.",
        "Rook f3, then king g6. So that's no good.",
    ],
)
def test_nothing_is_left_to_the_last_move(text: str) -> None:
    assert "was futile" in moves_of(text)[-1].marks


@pytest.mark.parametrize(
    "text",
    [
        "Then king to f4. That doesn't work, he takes my pawn.",
        "Rook to b7? No good.",
        "Queen c3. That falls short.",
        "Try knight g5. It's no use.",
        "Bishop d4. Not a hope.",
    ],
)
def test_a_sentence_that_tells_no_move_speaks_of_the_one_before(text: str) -> None:
    assert moves_of(text)[0].marks & {"was fail", "fail"}


@pytest.mark.parametrize(
    ("text", "squares"),
    [
        ("Qf2+ lets him go to e4.", [["f2"], ["e4"]]),
        ("But today he slips out to b5.", [["b5"]]),
        ("He hops to b2, or b4 if he'd rather.", [["b2", "b4"]]),
        ("The first thing the eye does is queen h6 check.", [["h6"]]),
        ("I'm sorry, he goes to a5.", [["a5"]]),
        ("Bring a rook in (a1 to d1).", [["d1"]]),
    ],
)
def test_squares_told(text: str, squares: list[list[str]]) -> None:
    found = [move for move in moves_of(text) if squares_of(move)]
    assert [squares_of(move) for move in found] == squares
    assert all(move.stance is Stance.asserted for move in found)


def test_what_a_man_wants_is_threatened() -> None:
    (move,) = moves_of("It wants to take on b6.")
    assert "threat" in move.marks


def test_he_who_goes_to_a_square_is_told_to_move() -> None:
    (move,) = moves_of("He steps to g7.")
    assert not move.bare
    assert move.apart


@pytest.mark.parametrize(
    "text",
    [
        "Both gxh4 and g4 hold.",
        "Queen a5 then? No, c8 and a8 both defend.",
        "He has Kc7 and Kd7, both sufficient.",
        "Rxf3 and f2 are both good enough.",
    ],
)
def test_what_holds_without_an_object_refutes(text: str) -> None:
    assert "was refute" in moves_of(text)[-1].marks


@pytest.mark.parametrize(
    ("text", "threatened"),
    [
        ("It shuts the file, and it goes to g3 next.", True),
        ("Queen to e2 next, with the rook behind her.", True),
        ("She means next to take on c6.", True),
        ("No mate next, Kd5.", False),
        ("Next she takes on c6.", False),
        ("He goes to g3 next.", False),
    ],
)
def test_what_a_man_does_next_is_threatened(text: str, threatened: bool) -> None:
    assert ("threat" in moves_of(text)[-1].marks) is threatened


@pytest.mark.parametrize("text", ["One square further: g5.", "Then a step beyond, to g5!", "So one square along, g5."])
def test_a_square_farther_on_is_of_the_man_told_last(text: str) -> None:
    (move,) = moves_of(text)
    assert squares_of(move) == ["g5"]
    assert not move.bare
    assert move.who is not None
    assert move.who.pronoun == "it"


@pytest.mark.parametrize(
    ("text", "last"),
    [
        ("The king has a single door, g2. Rook to e1 check, he's through it.", ["g2"]),
        ("He has one square, b4. Bishop e8 check, and that's where he goes.", ["b4"]),
        ("His only way out is f3. Queen c1, and out he goes.", ["f3"]),
        ("He has just the one exit, a5. If queen d1, he goes there.", ["a5"]),
    ],
)
def test_where_he_goes_was_told_before(text: str, last: list[str]) -> None:
    move = moves_of(text)[-1]
    assert squares_of(move) == last
    assert move.who is not None
    assert move.who.kinds == (chess.KING,)


def test_nothing_was_open_to_him() -> None:
    (queen, *rest) = moves_of("Queen c1, and he goes there.")
    assert squares_of(queen) == ["c1"]
    assert not any(map(squares_of, rest))


def test_he_has_just_what_he_has_now() -> None:
    (move,) = moves_of("He has just the one square, b1.")
    assert (squares_of(move), move.verb) == (["b1"], "go")


@pytest.mark.parametrize(
    "text",
    [
        "On d3 she is simply eaten by the bishop, on e1 by the knight.",
        "On d3 the queen is taken by the bishop and on e1 by the knight.",
    ],
)
def test_where_she_is_taken_is_told_once(text: str) -> None:
    first, bishop, second, knight = moves_of(text)
    assert [squares_of(first), squares_of(second)] == [["d3"], ["e1"]]
    assert "try" in first.marks & second.marks
    assert [each.ways[0].choices[0].piece for each in (first, second)] == [chess.QUEEN, chess.QUEEN]
    assert [each.ways[0].choices[0].piece for each in (bishop, knight)] == [chess.BISHOP, chess.KNIGHT]
    assert {each.verb for each in (bishop, knight)} == {"take"}


def test_who_has_her_takes_her() -> None:
    (_, takes) = moves_of("On d3 the bishop has her.")
    assert (takes.verb, takes.ways[0].choices[0].capture) == ("take", True)


@pytest.mark.parametrize(
    ("text", "men"),
    [
        ("Ke6, Kd5 and the a-pawn all refute it.", [None, None, chess.PAWN]),
        ("He has three ways to live then, Ke6, Kd5 and the a-pawn.", [None, None, chess.PAWN]),
        ("Qb3? Kd5 or the bishop.", [None, None, chess.BISHOP]),
        ("Qb3 is mate and the king is dead.", [None]),
    ],
)
def test_a_man_ends_a_list_of_moves(text: str, men: list[chess.PieceType | None]) -> None:
    assert [None if each.who is None else each.who.kinds[0] for each in moves_of(text)] == men


@pytest.mark.parametrize("text", ["The other two mates remain.", "The other two stand.", "The other two threats."])
def test_what_still_stands_is_no_reply(text: str) -> None:
    assert moves_of(text) == []
