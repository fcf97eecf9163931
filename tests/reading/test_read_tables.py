"""Men in tables and with their sides beside them. Layout and words: common practice, no source."""

import pytest
from keyproof.grammar.document import Document
from keyproof.grammar.men import find_lists, find_tables
from keyproof.grammar.positions import find_diagrams
from reading_texts import board_of, placement, unmarked

MATE = "6k1/5p2/8/8/8/1Q6/P5P1/6K1"


@pytest.mark.parametrize(
    "text",
    [
        "wKg1, wQb3, wPa2, wPg2, bKg8, bPf7",
        "bKg8 wKg1 bPf7 wPa2 wQb3 wPg2",
        "wKg1 wQb3 wPa2 g2 bKg8 bPf7",
        "WK g1, WQ b3, WP a2, WP g2, BK g8, BP f7",
        "W.K. g1, W.Q. b3, W.P. a2, W.P. g2; B.K. g8, B.P. f7",
        "wkg1, wqb3, wpa2, wpg2, bkg8, bpf7",
        "wKg1, wDb3, wBa2, wBg2, sKg8, sBf7",  # German
        "bRg1, bDb3, bPa2, bPg2, nRg8, nPf7",  # French
        "♚g8 ♟f7 ♔g1 ♕b3 ♙a2 ♙g2",
    ],
)
def test_men_that_say_whose_they_are(text):
    (diagram,) = find_lists(f"Diagram: {text}\n\nMate in three.")
    assert (placement(diagram), diagram.faults, diagram.span.of(f"Diagram: {text}")) == (MATE, (), text)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("wKg1, wQb3, wXa2, bKg8", [("wXa2", "X names no man in this list")]),
        ("wKg1, wQb9, bKg8, bPf7", [("b9", "b9 is not a square")]),
        ("wKg1, wQb3, bKg8, bPb3", [("bPb3", "a second man is put on b3")]),
    ],
)
def test_faults_of_men_that_say_whose_they_are(text, expected):
    (diagram,) = find_lists(text)
    assert [(fault.span.of(text), fault.message) for fault in diagram.faults] == expected


@pytest.mark.parametrize("text", ["The bBe4, bRf8 and bKa1", "1.bxa8 wins; ♔e1 ♕e2 ♖e3", "Sb1 bRa8 wNb1 sKd4"])
def test_moves_and_men_of_one_side_are_no_list(text):
    assert list(find_lists(text)) == []


KINDS = [("King", "g1", "g8"), ("Queen", "b3", ""), ("Pawn", "a2, g2", "f7")]


def rows(sign, empty="", kinds=KINDS):
    return [sign.join(cell or empty for cell in row) for row in kinds]


@pytest.mark.parametrize(
    "lines",
    [
        ["| Piece | White | Black |", "|---|:--|--:|", *(f"| {row} |" for row in rows(" | ", "–"))],
        ["|  | White | Black |", "|--|--|--|", *(f"|{row}|" for row in rows("|"))],
        ["Piece\tWhite\tBlack", *rows("\t")],
        ["Piece;White;Black", *rows(";")],
        [
            "Piece,White,Black",
            *rows(",", kinds=[(name, white.replace(",", ""), black) for name, white, black in KINDS]),
        ],
        ["          White        Black", "King      g1           g8", "Queen     b3", "Pawns     a2, g2       f7"],
        ["|  | Weiß | Schwarz |", "|--|--|--|", "| König | g1 | g8 |", "| Dame | b3 | |", "| Bauern | a2 g2 | f7 |"],
        ["| | White | Black |", "|-|-|-|", "| K | g1 | g8 |", "| Q | b3 | - |", "| P | a2 g2 | f7 |"],
        ["| Side | King | Queen | Pawns |", "|--|--|--|--|", "| White | g1 | b3 | a2 g2 |", "| Black | g8 | - | f7 |"],
        ["Side;K;Q;P", "White;g1;b3;a2 g2", "Black;g8;;f7"],
    ],
)
def test_tables_of_the_men(lines):
    text = "\n".join(["No. 1", "", *lines, "", "Mate in three"])
    (diagram,) = find_diagrams(unmarked(text))
    assert (placement(diagram), diagram.faults) == (MATE, ())


def test_what_is_no_square_in_a_table_is_a_fault_at_its_place():
    text = "| Piece | White | Black |\n|---|---|---|\n| King | g1 | g8 |\n| Queen | b33 | – |\n| Prawn | a2 | f7 |"
    (diagram,) = find_tables(unmarked(text))
    assert [(fault.span.of(text).strip(), fault.message) for fault in diagram.faults] == [
        ("b33", "b33 names no squares in this table of men"),
        ("Prawn", "Prawn names no man in this table"),
    ]


@pytest.mark.parametrize(
    "text",
    [
        "| Move | White | Black |\n|---|---|---|\n| 1 | e4 | e5 |\n| 2 | f4 | d5 |",
        "| Key | White | Black |\n|---|---|---|\n| Queen | mates | b3 |",
        "Name;White;Black\nAnna;1;0\nBert;0;1",
        "| White | King | Queen |\n|---|---|---|\n| wins | e4 | e5 |",
    ],
)
def test_tables_of_moves_and_of_scores_are_no_positions(text):
    assert list(find_tables(unmarked(text))) == []


def test_a_table_that_is_hidden_by_markup_is_no_position():
    text = "Piece;White;Black\nKing;g1;g8\nQueen;b3;"
    assert list(find_tables(Document("hidden.md", text, " " * len(text), ()))) == []


@pytest.mark.parametrize(
    "text",
    [
        "White, 4 men: Kg1, Qb3, Pa2, g2\nBlack, two men: Kg8, Pf7",
        "Weiß, 4 Steine: Kg1, Db3, Ba2, Bg2\nSchwarz, 2 Steine: Kg8, Bf7",
        "Blancs, 4 pièces : Rg1, Db3, a2, g2. Noirs, 2 pièces : Rg8, f7.",
        "Les Blancs : Rg1, Db3, pions a2, g2 — les Noirs : Rg8, pion f7",
        "Les Blancs ont : le roi en g1, la dame en b3, les pions en a2, g2. Les Noirs : le roi en g8, le pion en f7.",
        "Las blancas: rey en g1, dama en b3, peones en a2 y g2. Las negras: rey en g8, peón en f7.",
        "Il Bianco: re in g1, donna in b3, pedoni in a2 e g2. Il Nero: re in g8, pedone in f7.",
        "As brancas: rei em g1, dama em b3, peões em a2 e g2. As pretas: rei em g8, peão em f7.",
        "Pieces (White): Kg1, Qb3, Pa2, g2\nPieces (Black): Kg8, Pf7",
        "[White] Kg1, Qb3, Pa2, g2 [Black] Kg8, Pf7",
        "WHITE: KG1, QB3, PA2, PG2. BLACK: KG8, PF7.",
        "White: K-g1, Q-b3, P-a2, P-g2. Black: K-g8, P-f7.",
        "White: Kg1, Qb3, Pa2, g2\n(no more than that, I believe)\nBlack: Kg8, Pf7",
        "> White: Kg1, Qb3,\n> Pa2, g2\n> Black: Kg8, Pf7",
    ],
)
def test_lists_as_people_of_many_languages_write_them(text):
    (diagram,) = find_diagrams(unmarked(text))
    assert (placement(diagram), diagram.faults) == (MATE, ())


def test_a_letter_that_a_scanner_took_for_a_number_is_a_fault():
    text = "White: Kgl, Qb3, Pa2, g2\nBlack: Kg8, Pf7"
    (diagram,) = find_lists(text)
    assert [(fault.span.of(text), fault.message) for fault in diagram.faults] == [("gl", "gl is not a square")]


@pytest.mark.parametrize("text", ["White: K-e2. Black: Q-d4, R-d8.", "White: Q-d4, B-e3. Black: K-e7."])
def test_moves_of_both_sides_are_no_list(text):
    assert list(find_lists(text)) == []


def test_old_squares_may_be_counted_by_either_side():
    # Common practice, no source: each side counts its own ranks, some lists count all of them from White's.
    (diagram,) = find_lists("White: K at K Kt 1; Q at Q Kt 3. Black: K at K R 5; P at K B 6.")
    assert placement(diagram) == "8/8/8/7k/8/1Q3p2/8/6K1".replace("7k", "8").replace("8/8/8/8/8", "8/8/8/8/7k")
    assert [board_of(men).board_fen() for men in diagram.others] == ["8/8/5p2/7k/8/1Q6/8/6K1"]
    (diagram,) = find_lists("White: K at K sq; Q at Q Kt 3. Black: K at K 8; P at K B 7.")
    assert (placement(diagram), diagram.others) == ("4k3/5p2/8/8/8/1Q6/8/4K3", ())  # else both kings stand on e1
