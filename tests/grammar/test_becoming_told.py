"""Promotions told in parts: the queen as a verb, lists of men, what a pawn is said to be once it has arrived."""

import chess
import pytest
from told_frames import moves_of, squares_of

QUEEN, ROOK, BISHOP, KNIGHT = chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT


def promotions(text: str) -> list[chess.PieceType | None]:
    """Return what pawns become in the moves of a text that are more than a man's name."""
    return [move.ways[0].choices[0].promotion for move in moves_of(text) if not move.idle]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("And then you queen and he's mated.", [QUEEN]),
        ("Then I queen on b8, and where can he go?", [QUEEN]),
        ("If he queens, that's check to you.", [QUEEN]),
        ("So we queen, check, and it is all over.", [QUEEN]),
        ("You can queen, or you can wait.", [QUEEN]),
        ("You, queen to c3!", [None]),
        ("I want her queen g4.", [None]),
        ("He queens takes nothing.", []),
    ],
)
def test_queen_may_be_what_somebody_does(text: str, found: list[chess.PieceType | None]) -> None:
    assert [each for each in promotions(text) if each or found == [None]] == found


@pytest.mark.parametrize(
    ("text", "found"),
    [
        (
            "he can make a queen on h1, or a rook, a bishop, a knight if he's in that mood",
            [QUEEN, ROOK, BISHOP, KNIGHT],
        ),
        ("It may become a queen on a1, a rook or even a bishop.", [QUEEN, ROOK, BISHOP]),
        ("He promotes to a knight on e1 or to a bishop.", [KNIGHT, BISHOP]),
        ("The pawn turns into a rook on c1 or a knight.", [ROOK, KNIGHT]),
        ("You make a queen on b8, not a rook.", [QUEEN]),
        ("If you made a queen or rook on b8, that would be stalemate.", [QUEEN, ROOK]),
        ("White could make a knight, or a bishop on b8.", [KNIGHT, BISHOP]),
    ],
)
def test_men_are_listed_for_one_square(text: str, found: list[chess.PieceType]) -> None:
    assert promotions(text) == found
    assert len({tuple(squares_of(move)) for move in moves_of(text) if not move.idle}) == 1


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Pawn to d8 and it's a knight!", KNIGHT),
        ("He steps to h1 and now it is a rook.", ROOK),
        ("To b8, and then it's a bishop.", BISHOP),
        ("Pawn to d7 and it's a pity.", None),
    ],
)
def test_what_it_is_once_it_has_arrived(text: str, found: chess.PieceType | None) -> None:
    assert promotions(text) == [found]


@pytest.mark.parametrize(
    "text", ["and a rook there does just as well", "A rook would do as well.", "a rook is just as good, by the way"]
)
def test_another_man_does_as_well(text: str) -> None:
    assert promotions(text) == [ROOK]


@pytest.mark.parametrize("text", ["a rook on b8 instead of a queen", "Take a knight on b8 rather than a queen."])
def test_what_another_man_stands_for_is_no_move(text: str) -> None:
    assert QUEEN not in promotions(text)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("d eight queen d seven and that's mate", [None, None]),
        ("takes on b eight queen b seven mate", [None, None]),
        ("d eight queen mate", [QUEEN]),
        ("pawn d eight queen d seven", [QUEEN, None]),
    ],
)
def test_a_man_between_two_squares_goes_to_the_second(text: str, found: list[chess.PieceType | None]) -> None:
    assert promotions(text) == found


def test_a_pawn_takes_somewhere_and_becomes_something() -> None:
    """Both are one move, though no square is told, and what a pawn cannot become is said of it all the same."""
    told = moves_of("The pawn takes the bishop and promotes to a knight, mate.")
    assert [(each.ways[0].choices[0].captured, each.ways[0].choices[0].promotion) for each in told] == [
        (chess.BISHOP, chess.KNIGHT)
    ]
    (king,) = moves_of("The pawn goes to h8 and becomes a king.")
    assert king.ways[0].choices[0].promotion == chess.KING


@pytest.mark.parametrize("words", ["becomes anything at all", "turns into what it likes", "promotes", "becomes a rook"])
def test_a_square_on_no_last_rank_is_another_move(words: str) -> None:
    pawn, answer = moves_of(f"The pawn {words}, g5.")
    assert pawn.ways[0].choices[0].promotion_span is not None
    assert squares_of(answer) == ["g5"]


def test_a_man_who_does_something_on_the_last_rank_is_no_new_one() -> None:
    assert promotions("You make a queen or the rook on a8 goes.")[:1] == [QUEEN]
    assert promotions("You make a queen or the rook on a8 goes.")[1:] == [None]


@pytest.mark.parametrize(
    "text",
    ["In B all four promotions on c1 are answered by 2.Qf4.", "Every one of the promotions on c1 allows 2.Qf4."],
)
def test_all_promotions_on_a_square(text: str) -> None:
    told = moves_of(text)[0]
    assert squares_of(told) == ["c1"]
    assert told.ways[0].choices[0].promotion_span


def test_only_what_arrives_promotes() -> None:
    (told,) = moves_of("h4 or a1 queening.")
    assert [each.promotion for each in told.ways[0].choices] == [None, QUEEN]


@pytest.mark.parametrize("text", ["It fails to the underpromotion 1...a1=N.", "Also by the minor promotion 1...a1=N."])
def test_the_name_of_a_printed_promotion_is_no_other(text: str) -> None:
    assert promotions(text) == [KNIGHT]


def test_men_in_a_row_are_what_a_pawn_may_become() -> None:
    told = "he takes on g1 with the pawn whatever he makes of it a queen a rook a bishop a knight there goes my mate"
    assert promotions(told) == [QUEEN, ROOK, BISHOP, KNIGHT]
    assert "was futile" in moves_of(told)[-1].marks
