"""Squares told in words: spelt as on the radio, or with the names that descriptive notation gives them.

The spelling alphabet: ITU Radio Regulations, Appendix 14 (from memory); names of squares: common practice, no source.
"""

import chess
import pytest
from keyproof.grammar.lexicon.lexemes import lexemes
from keyproof.grammar.lexicon.said_squares import old_square_said
from keyproof.grammar.spans import Span
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text


@pytest.mark.parametrize(
    ("words", "square"),
    [("alfa one", "a1"), ("Bravo two", "b2"), ("charlie 3", "c3"), ("delta four", "d4"), ("echo eight", "e8")],
)
def test_a_file_is_spelt(words: str, square: str) -> None:
    (only,) = lexemes(words, Span(0, len(words)))
    assert only.square == chess.parse_square(square)


@pytest.mark.parametrize(
    ("words", "squares"),
    [
        ("King's Rook's fourth", "h4"),
        ("queen's bishop's third", "c3"),
        ("Queen's square", "d1"),
        ("Knight's fifth", "b5 g5"),
        ("King's 2nd", "e2"),
    ],
)
def test_a_square_has_the_name_of_a_man(words: str, squares: str) -> None:
    read = old_square_said(words, 0, len(words))
    assert read is not None
    assert read.destinations == sum(chess.BB_SQUARES[chess.parse_square(name)] for name in squares.split())


def test_a_square_does_not_reach_from_one_column_into_the_next() -> None:
    row = "  b   1...Qc7   2.Nxc7#   1  "
    assert [each.text for each in lexemes(row, Span(0, len(row))) if each.kind in ("square", "move")] == [
        "Qc7",
        "Nxc7#",
    ]


@pytest.mark.parametrize("words", ["king's rook", "Rooks fourth", "bishop takes", "kings and queens", "queen's gambit"])
def test_other_words_name_none(words: str) -> None:
    assert old_square_said(words, 0, len(words)) is None


TOLD = """4B3/8/6R1/8/4K2k/8/8/3B4 w - - 0 1
Mate in two.

The key is King to Bishop's third.
If his King goes to Rook's fourth, our King moves to Knight's third and it is mate.
If his King goes to Rook's sixth, the Rook goes to Rook's sixth and it is mate.
"""


def test_moves_lead_to_such_squares_counted_from_either_side() -> None:
    result = check_text("a.txt", TOLD, Options(fresh=True))
    assert {each.finding.rule for each in result.findings} == {"obtrusive-man"}  # two bishops on light squares
    (puzzle,) = result.puzzles
    assert puzzle.checked == puzzle.move_mentions == 5


@pytest.mark.parametrize(
    ("words", "squares"),
    [
        ("the queen takes before", ["b4"]),
        ("it goes to the knight before then it waits", ["b4"]),
        ("the bishop of five or the king the ate", ["f5", "d8"]),
        ("we put it from e two to be to", ["e2", "b2"]),
        ("he covers see ate", ["c8"]),
        ("pawn d to and see to and a to", ["d2", "c2", "a2"]),
        ("so he seven mate", ["e7"]),
        # words that mean what they say
        ("he takes before you can, and see to it", []),
        ("the queen takes the one in front", []),
        ("the rook goes there before the bishop", []),
        ("then he ate the knight of one of them", []),
        ("one of five, and the two of three", []),
        ("b7, b for barn, or c as in cupboard", ["b7"]),
    ],
)
def test_squares_by_their_sound(words: str, squares: list[str]) -> None:
    found = lexemes(words, Span(0, len(words)))
    assert [chess.square_name(each.square) for each in found if each.square is not None] == squares
