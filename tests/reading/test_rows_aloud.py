"""Positions told row by row, men and empty squares counted. The texts are made up for these tests."""

import chess
import pytest
from keyproof.grammar.rows_aloud import find_rows_aloud

_FEN_READ = (
    "Write this down. Eight, slash, seven, big K, slash, three, small p, four, slash, two, big P, five, slash, six, "
    '"got it?", small k, one, slash, five, capital Q, two, slash, eight, slash, eight. White mates in two.'
)
_FROM_BELOW = (
    "From the bottom up. Rank one: three empty squares, white king, four empty squares. Rank two is empty. Rank three: "
    "black pawn, seven empty. Ranks four, five and six are empty. Rank seven: six empty, white rook, empty. "
    "Rank eight: one empty square, black king, six empty squares. Mate in two."
)
_GERMAN = (
    "Ich lese von oben nach unten. Achte Reihe: drei leer, schwarzer König, vier leer. Siebte Reihe: leer. Sechste: "
    "weißer König, ein Feld leer, weißer Bauer, sonst nichts. Fünfte leer. Vierte leer. Dritte: zwei leer, ein "
    "schwarzer Springer, der Rest leer.\nZweite Reihe: sieben leere, weißer Turm. Erste: nichts.\nMatt in zwei."
)
_CHART = (
    "Row 8: 3 blank, BK, 4 blank. Row 7: 8 blank. Row 6: WK, 1 blank, WP, 5 blank (as row 8). Row 5: 8 blank."
    "\nRow 4: blank. Row 3: 2 blank, BN, 5 blank. Row 2: 7 blank, WR.\nRow 1 (the edge): blank."
)
_ROWS = (
    "Top row: three vacant, the black king, four vacant. Next row: nothing. The row below: white king, one vacant, "
    "white pawn, nothing else. Then two rows with nothing at all. Third row from my end: two vacant, a black knight, "
    "five vacant. Second: seven vacant, white rook. And the bottom one: eight vacant."
)


@pytest.mark.parametrize(
    ("text", "board"),
    [
        (_FEN_READ, "8/7K/3p4/2P5/6k1/5Q2/8/8"),
        (_FROM_BELOW, "1k6/6R1/8/8/8/p7/8/3K4"),
        (_GERMAN, "3k4/8/K1P5/8/8/2n5/7R/8"),
        (_CHART, "3k4/8/K1P5/8/8/2n5/7R/8"),
        (_ROWS, "3k4/8/K1P5/8/8/2n5/7R/8"),
    ],
)
def test_rows_that_are_counted_tell_a_position(text: str, board: str) -> None:
    (found,) = find_rows_aloud(text)
    shown = chess.BaseBoard(None)
    shown.set_piece_map(found.pieces)
    assert shown.board_fen() == board


@pytest.mark.parametrize(
    "text",
    [
        _FEN_READ.replace("three, small p", "three, small p, small p"),  # a rank of nine squares
        _CHART.replace("7 blank, WR", "6 blank, WR"),
        _CHART.replace("BK", "BQ"),
        "The rank is empty, the row is empty, the squares are empty, empty, empty and empty. A white king.",
    ],
)
def test_rows_that_do_not_fill_a_board_tell_none(text: str) -> None:
    assert [*find_rows_aloud(text)] == []
