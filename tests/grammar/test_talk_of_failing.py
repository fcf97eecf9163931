"""Words that say a move fails without telling another, and small ways of talk around moves."""

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
