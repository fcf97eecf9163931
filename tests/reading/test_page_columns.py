"""Boards that stand beside other text, as in books set in columns. Invented positions."""

import re

import pytest
from keyproof.grammar.asking import with_orders
from keyproof.grammar.positions import find_diagrams
from keyproof.grammar.sections import puzzle_texts
from keyproof.linter.sources import document_from_text
from reading_texts import placement

BOARD = "8/6R1/1k6/2p5/4p3/1KN5/R7/1N5B"
LIST = "n7/1p6/1P6/1P6/8/2K5/4k1NQ/3N4"

LISTS_TO_THE_RIGHT = """\
   31                        32   W: Kc3 Qh2 Nd1 Ng2, pawns b5 b6
   8 . . . . . . . .              B: Ke2 Na8, pawn b7
   7 . . . . . . R .
   6 . k . . . . . .         33   W: Kh3 Qf3 Rd6 Bh1 Na6 Na7, pawn d5
   5 . . p . . . . .              B: Kd4, pawns a3 c5
   4 . . . . p . . .              Black's last move was the
   3 . K N . . . . .              pawn from c7 to c5.
   2 R . . . . . . .
   1 . N . . . . . B
"""
FRAMED = """\
   No. 7                                No. 8
                                        White: Kc3, Qh2, Nd1, Ng2, Pb5, b6
   +---+---+---+---+---+---+---+---+    Black: Ke2, Na8, Pb7
 8 |   |   |   |   |   |   |   |   |
 7 |   |   |   |   |   |   | R |   |    Mate in two.
 6 |   | k |   |   |   |   |   |   |
 5 |   |   | p |   |   |   |   |   |
 4 |   |   |   |   | p |   |   |   |
 3 |   | K | N |   |   |   |   |   |
 2 | R |   |   |   |   |   |   |   |
 1 |   | N |   |   |   |   |   | B |
   +---+---+---+---+---+---+---+---+
     a   b   c   d   e   f   g   h
"""
BOARD_TO_THE_RIGHT = """\
Nr. 3  Weiß: Kc3 Dh2 Sd1 Sg2 Bb5 b6         4
       Schwarz: Ke2 Sa8 Bb7                 8  .  .  .  .  .  .  .  .
       Matt in 2 Zügen                      7  .  .  .  .  .  .  T  .
                                            6  .  k  .  .  .  .  .  .
                                            5  .  .  b  .  .  .  .  .
       (Die Lösungen                        4  .  .  .  .  b  .  .  .
       stehen auf der                       3  .  K  S  .  .  .  .  .
       nächsten Seite.)                     2  T  .  .  .  .  .  .  .
                                            1  .  S  .  .  .  .  .  L
                                               a  b  c  d  e  f  g  h
"""
TWO_BOARDS_AND_A_LIST = """\
  A                   B
  ........            ........     C.  White: Kc3 Qh2 Nd1 Ng2 Pb5 Pb6
  ......R.            ......R.         Black: Ke2 Na8 Pb7
  .k......            .k......
  ..p.....            ..p.....     The solver should note that in A and B
  ....p...            ....p...     the wK stands elsewhere.
  .KN.....            K.N.....
  R.......            R.......
  .N.....B            .N.....B
"""
REMARKS = """\
 8 · · · · · · · ·     This week's position comes
 7 · · · · · · ♖ ·     from a reader in the hills,
 6 · ♚ · · · · · ·     who says that his goat ate
 5 · · ♟ · · · · ·     the first version of it.
 4 · · · · ♟ · · ·     White to play and mate in
 3 · ♔ ♘ · · · · ·     two moves.
 2 ♖ · · · · · · ·
 1 · ♘ · · · · · ♗     Send solutions by Friday.
   a b c d e f g h
"""


def puzzles(text: str) -> dict[str, str]:
    return {
        puzzle.title: " ".join(placement(diagram) for diagram in puzzle.diagrams)
        for puzzle in puzzle_texts(document_from_text("page.txt", text, "text")).puzzles
    }


def orders(text: str) -> list[str]:
    document = document_from_text("page.txt", text, "text")
    shown = with_orders(document, puzzle_texts(document)).puzzles
    return [" / ".join(span.of(text) for span in puzzle.orders) for puzzle in shown]


def test_lists_stand_to_the_right_of_a_board() -> None:
    third = "8/N7/N2R4/2pP4/3k4/p4Q1K/8/7B"
    assert puzzles(LISTS_TO_THE_RIGHT) == {"31": BOARD, "32": LIST, "33": third}


def test_a_frame_between_the_lines_of_a_list() -> None:
    assert puzzles(FRAMED) == {"No. 7": BOARD, "No. 8": LIST}


def test_a_board_to_the_right_is_read_after_what_stands_to_its_left() -> None:
    assert puzzles(BOARD_TO_THE_RIGHT) == {"Nr. 3": LIST, "4": BOARD}


def test_two_boards_and_a_list() -> None:
    document = document_from_text("page.txt", TWO_BOARDS_AND_A_LIST, "text")
    assert [placement(each) for each in find_diagrams(document)] == [BOARD, BOARD.replace("1KN5", "K1N5"), LIST]


def test_words_beside_a_board_are_the_authors() -> None:
    document = document_from_text("page.txt", REMARKS, "text")
    (puzzle,) = puzzle_texts(document).puzzles
    said = " ".join(" ".join(span.of(document.masked) for span in puzzle.prose).split())
    assert said.startswith("This week's position comes from a reader in the hills, who says")
    assert "White to play and mate in two moves. Send" in said
    assert [placement(diagram) for diagram in puzzle.diagrams] == [BOARD]


def test_a_fault_of_such_a_board_is_shown_where_the_board_is() -> None:
    document = document_from_text("page.txt", LISTS_TO_THE_RIGHT.replace("6 . k . .", "6 . k ."), "text")
    board = next(diagram for diagram in find_diagrams(document) if diagram.kind == "board")
    assert board.faults
    assert all(board.span.start <= fault.span.start < fault.span.end <= board.span.end for fault in board.faults)


def test_a_board_alone_on_its_lines_is_none_of_these() -> None:
    alone = "\n".join(line[:22] for line in REMARKS.splitlines())
    assert document_from_text("page.txt", alone, "text").beside == ()


PAIR = """\
 A.  White mates in 3          B.  White mates in 2
 8 | . . . . . . . .           8 | n . . . . . . .
 7 | . . . . . . R .           7 | . p . . . . . .
 6 | . k . . . . . .           6 | . P . . . . . .
 5 | . . p . . . . .           5 | . P . . . . . .
 4 | . . . . p . . .           4 | . . . . . . . .
 3 | . K N . . . . .           3 | . . K . . . . .
 2 | R . . . . . . .           2 | . . . . k . N Q
 1 | . N . . . . . B           1 | . . . N . . . .
     a b c d e f g h               a b c d e f g h
     7 men + 3                     6 men + 3
--------------------------------------------------------------------
"""


def test_boards_beside_nothing_but_boards_are_none_of_these() -> None:
    drawn = "\n".join(PAIR.splitlines()[1:10])
    document = document_from_text("page.txt", drawn, "text")
    assert document.beside == ()
    assert [placement(diagram) for diagram in find_diagrams(document)] == [BOARD, LIST]


def test_words_above_and_below_boards_side_by_side_are_those_of_each() -> None:
    document = document_from_text("page.txt", PAIR, "text")
    assert [placement(diagram) for diagram in find_diagrams(document)] == [BOARD, LIST]
    assert [[span.of(PAIR) for span in each.own] for each in document.beside] == [
        ["White mates in 3", "7 men + 3"],
        ["White mates in 2", "6 men + 3"],
    ]


@pytest.mark.parametrize(
    "head",
    [
        "EXERCISES TO CHAPTER SIX\n(White to move and mate in two)",
        "PUZZLES (White to play and mate in two moves)",
        "Drei Aufgaben, Matt in zwei Zügen",
        "PROBLÈMES\nMat en deux coups",
    ],
)
def test_an_order_under_a_heading_for_many_is_for_each(head: str) -> None:
    asked = orders(f"{head}\n\n{LISTS_TO_THE_RIGHT}")
    assert len(asked) == 3
    assert all(re.search(r"mate? (?:in|en) (?:two|zwei|deux)|Matt in zwei", each, re.I) for each in asked)


@pytest.mark.parametrize("head", ["Problems by many hands. No. 1 is a mate in two", "PROBLEM\n(Mate in two)"])
def test_an_order_of_one_is_none_of_all(head: str) -> None:
    assert not any("two" in each for each in orders(f"{head}\n\n{LISTS_TO_THE_RIGHT}"))
