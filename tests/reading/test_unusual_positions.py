"""Positions that are told over several sentences, stand side by side, or carry remarks. Invented positions."""

import re

import pytest
from keyproof.grammar.orders import told_orders
from keyproof.grammar.positions import find_diagrams
from keyproof.grammar.spans import Span
from reading_texts import placement, unmarked


def read(text: str) -> list[str]:
    diagrams = find_diagrams(unmarked(text))
    assert not [fault for diagram in diagrams for fault in diagram.faults]
    return [placement(diagram) for diagram in diagrams]


TOLD = "8/8/8/5k2/8/2R4P/1Q6/K7"


@pytest.mark.parametrize(
    "words",
    [
        "White first. The king is at home on a1. His queen is right in front on b2.\n"
        "There's a rook beside her on c3 and a pawn on h3. Black has the king on f5, and nothing more.",
        "- White has king a1, queen b2, rook c3.\n- And?\n- And a pawn on h3.\n- And Black?\n- King f five.\n",
        "You: king a1, queen b2, rook c3 and pawn h3. He: king f5, alone.",
        "The first goes: white king a1, queen b2, rook c3, pawn h3, and black has just a king on f5. Mate in 3.",
        "Black to begin with. King f5. White now. King a1, queen b2, rook c3, pawn h3.",
        "White has the king on a1 and may still castle, or so she says, a queen b2, rook c3, pawn h3. Black: king f5.",
    ],
)
def test_a_colour_holds_until_another_is_named(words):
    assert read(words) == [TOLD]


def test_a_position_told_behind_a_printed_one():
    text = "4k3/8/4K3/8/8/8/8/7R w - - 0 1\n1.Rh8#\n\nNow the next. White: king a1, queen b2, rook c3, pawn h3."
    assert read(f"{text} Black: king f5.")[1:] == [TOLD]


def test_words_that_tell_a_printed_position_again_are_no_position():
    text = f"{TOLD} w - - 0 1\nMy king is on a1, my queen on b2, my rook on c3. Your king is on f5."
    assert read(text) == [TOLD]


def test_another_man_on_a_square_ends_the_telling():
    text = (
        "White has king a1, queen b2, rook c3 and pawn h3. Black has the king on f5. Black's king on h3 was a misprint."
    )
    assert read(text) == [TOLD]


TWO = """
  12. Mate in 2                 13. Mate in 3
  8 | . . . . . . . .           8 | . . . . . . . K
  7 | . . . k . . . .           7 | . . . . . . . .
  6 | . . . . . . . .           6 | . . . . . . . .
  5 | . . . K . . . .           5 | . . r . . . . .
  4 | . . . . . . . .           4 | . . . . . . . .
  3 | . . . . . . . .           3 | . . . . . . k .
  2 | . . Q . . . . .           2 | . . . . . . . .
  1 | . . . . . . . .           1 | . . . . . . . .
      a b c d e f g h               a b c d e f g h
"""
PLACED = ["8/3k4/8/3K4/8/8/2Q5/8", "7K/8/8/2r5/8/6k1/8/8"]


def test_boards_side_by_side():
    assert read(TWO) == PLACED
    plain = "\n".join(
        "   ".join(part.split("|")[1].replace(" ", "") for part in line.split("         "))
        for line in TWO.splitlines()[2:10]
    )
    assert read(plain) == PLACED


def test_boards_side_by_side_have_the_words_over_them():
    headings = [diagram.heading for diagram in find_diagrams(unmarked(TWO))]
    assert [heading and heading.of(TWO) for heading in headings] == ["12. Mate in 2", "13. Mate in 3"]


def test_numbers_may_stand_before_the_first_rank_of_each_board():
    ranks = [re.findall(r"(?:[.\w] ){7}[.\w]", line[2:]) for line in TWO.splitlines()[2:10]]
    rows = [f"     {left}          {right}" for left, right in ranks]
    text = "\n".join([f"41{rows[0][2:21]}    42    {rows[0][-15:]}", *rows[1:]])
    assert read(text) == PLACED
    headings = [diagram.heading for diagram in find_diagrams(unmarked(text))]
    assert [heading and heading.of(text) for heading in headings] == ["41", "42"]


def test_a_rank_too_short_is_a_fault_of_its_own_board():
    text = TWO.replace("6 | . . . . . . . .           6", "6 | . . . . . . .             6")
    faults = [[fault.message for fault in diagram.faults] for diagram in find_diagrams(unmarked(text))]
    assert faults == [["rank 6 of the board has 7 squares"], []]


BOARD = """
. . . . . . . .
. . . k . . . .
. . . . . . . .     <- the sixth rank
. . . K . . . .
. . . . . . . .
. . . . . . . .
. . Q . . . . .
. . . . . . . .     (small letters are Black; mate in three)
"""


def test_remarks_behind_ranks():
    assert read(BOARD) == [PLACED[0]]
    (diagram,) = find_diagrams(unmarked(BOARD))
    assert "mate in three" not in diagram.span.of(BOARD)


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("Prize: Ka1 Qb2 Rc3 Ph3 (4) - Kf5 (1). Mate in three.", TOLD),
        ("Next, #3: Ka1 Qb2 Rc3 h3 v Kf5", TOLD),
        ("White: Ka1, Qb2, Rc3, h3 against Black: Kf5", TOLD),
        ("Bianco: Ra1, Db2, Tc3 ed h3. Nero: Rf5.", TOLD),
        ("Bianco: Rf5. Nero: Ra1, Db2, pedoni c3 ed h3.", "8/8/8/5K2/8/2p4p/1q6/k7"),
        ("WHITE.—King at Q R sq., Queen at Q Kt 2nd, Rook at Q B 3rd, Pawn at K R 3rd.\nBLACK.—King at K B 4th.", TOLD),
        (
            "Squares are counted from White's side in both lists.\n"
            "White: K at QR sq; Q at QKt 2; R at QB 3; P at KR 3.\n"
            "Black: K at KB 5.",
            TOLD,
        ),
    ],
)
def test_lists(words, found):
    assert read(words) == [found]


def test_a_square_before_a_full_stop_is_never_lost():
    (diagram,) = find_diagrams(unmarked("White: Ka1, Qb2, Rc3 zog h3. Black: Kf5."))
    assert diagram.faults


@pytest.mark.parametrize("words", ["Kg3 Qd4 Kh5 Qf4 - Kh6 Qf6", "after Kg2 Kh4 - Kf3 the rest is clear"])
def test_moves_of_kings_are_no_list(words):
    assert read(words) == []


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("White to play, and mate on the third move.", ["mate in 3"]),
        ("You begin and mate by your second move.", ["mate in 2"]),
        ("Here is a four-mover.", ["mate in 4"]),
        ("White moves, and in two moves it is mate.", ["mate in 2"]),
        ("White then answers on c7 and mates on move three.", []),
        ("If White waits, he is mated on move two.", []),
        ("White cannot mate on the second move.", []),
    ],
)
def test_orders_told_in_words(words, found):
    assert [order.english for order in told_orders(words, Span(0, len(words)))] == found
