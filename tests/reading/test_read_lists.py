"""Piece lists. Letters and layout of such lists: common practice, no source, where nothing else is said."""

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st
from keyproof.grammar.letters import FIGURINES, LANGUAGES, SIDES, WORDS
from keyproof.grammar.men import find_lists
from keyproof.grammar.men_named import choose_language
from reading_texts import placement, positions


def one(text):
    diagrams = list(find_lists(text))
    assert len(diagrams) == 1
    return diagrams[0]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "White: Kg1, Qd1, Rf1, Pa2 b2 c2; Black: Kg8, Rf8 Pf7 g7 h7",
            "5rk1/5ppp/8/8/8/8/PPP5/3Q1RK1",
        ),
        ("Wh. Ke1, Rh1 Bl. Ke8", "4k3/8/8/8/8/8/8/4K2R"),
        ("W: K g1, Q d1, P a2, b2\nB: K g8, P h7", "6k1/7p/8/8/8/8/PP6/3Q2K1"),
        ("White: Kg1 Qd1 Ph2 h3 / Black: Kg8 Sf6", "6k1/8/5n2/8/8/7P/7P/3Q2K1"),
        ("Black: Kg8, Nf6.\nWhite: Kg1, Qd1.", "6k1/8/5n2/8/8/8/8/3Q2K1"),
        ("WHITE (3): Kg1, Qd1, h2\r\nBLACK (2): Kg8, h7", "6k1/7p/8/8/8/8/7P/3Q2K1"),
        ("White - Kg1, Qd1; Black - Kg8", "6k1/8/8/8/8/8/8/3Q2K1"),
        ("White: Ke1 (he hasn't moved), Rh1 (nor has it). Black: Ke8", "4k3/8/8/8/8/8/8/4K2R"),
        ("WHITE         BLACK\nKing  d8      King  b7\nQueen f6", "3K4/1k6/5Q2/8/8/8/8/8"),
        ("White     Black\r\n-----     -----\r\nKf6       Kh8\r\nRa1       Ph7\r\nNg5", "7k/7p/5K2/6N1/8/8/8/R7"),
        ("White | Black\n---|---\nKing f6 | King h8\nRook a1", "7k/8/5K2/8/8/8/8/R7"),
        ("Kg1 Qd1 Rf1, and Black has Kg8 h7.", "6k1/7p/8/8/8/8/8/3Q1RK1"),
        ("Kg1 Qd1 Rf1; Black: Kg8, Ph7", "6k1/7p/8/8/8/8/8/3Q1RK1"),
        ("Kg8 Rf8 h7 against White Kg1 Qd1", "5rk1/7p/8/8/8/8/8/3Q2K1"),
        ("White Kg1 and Qd1 against Black Kg8", "6k1/8/8/8/8/8/8/3Q2K1"),
        ("White\n- King g1\n- Rooks a1, f1\n\nBlack\n- King g8", "6k1/8/8/8/8/8/8/R4RK1"),
        ("White: King on g1, Pawns on a2 and b2; Black: King on g8", "6k1/8/8/8/8/8/PP6/6K1"),
        ("white: kg1, qd1; black: kg8, bc8", "2b3k1/8/8/8/8/8/8/3Q2K1"),
        ("White: Kg1, Ktf3; Black: Kg8", "6k1/8/8/8/8/5N2/8/6K1"),
        (
            "White--K. on K. Kt. sq.; B.'s on Q. 4 and K. 4; P.'s on Q. R. 2 and K. 3. Black--K. on K. 2; P. on K. 3.",
            "8/4k3/4p3/8/3BB3/4P3/P7/6K1",
        ),
        ("WHITE.--K. K.B.8; R. Q.Kt.8; B. Q.Kt.4 and K.Kt.2. BLACK.--K. K.R.3; P. K.R.4.", "1R3K2/8/7k/7p/1B6/8/6B1/8"),
        ("White: Kg1; pp a2, b2\nBlack: Kg8; p f7", "6k1/5p2/8/8/8/8/PP6/6K1"),
        ("Weiß: Kg1, Dd1, Ba2, b2 Schwarz: Kg8, Ba7", "6k1/p7/8/8/8/8/PP6/3Q2K1"),
        ("Blancs : Rg1, Dd1, Tf1, Cf3, Pa2 ; Noirs : Rg8, Fc8", "2b3k1/8/8/8/8/5N2/P7/3Q1RK1"),
        ("Wit: Kg1, Pf3, pi a2, b2 Zwart: Kg8", "6k1/8/8/8/8/5N2/PP6/6K1"),
        ("Белые: Крg1, Фd1, Лf1, Сc1, Кf3, пa2; чёрные: Крg8, п.a7", "6k1/p7/8/8/8/5N2/P7/2BQ1RK1"),
        ("White: Kg1, Dd1, Tf1; Black: Kg8", "6k1/8/8/8/8/8/8/3Q1RK1"),  # German letters under English headings
        ("White: ♔g1 ♕d1; Black: ♚g8 ♟h7", "6k1/7p/8/8/8/8/8/3Q2K1"),
        ("White: ♔\ufe0eg1 ♕ d1; Black: ♔g8", "6k1/8/8/8/8/8/8/3Q2K1"),  # the heading gives the side
    ],
)
def test_the_forms_of_the_trade(text, expected):
    diagram = one(text)
    assert (placement(diagram), diagram.faults) == (expected, ())
    assert diagram.span.of(text) == text.rstrip(".")
    assert (diagram.turn, diagram.castling, diagram.has_en_passant_field) == (None, None, False)


@pytest.mark.parametrize(
    ("white", "expected"),
    [
        ("Kg1, Ra1, f1, a2", "R4RK1 P7"),  # no pawn stands on rank 1
        ("Kg1, Ra1, f3, Pa2", "R5K1 P7 5R2"),  # pawns have a letter here, so f3 is a rook
        ("Kg1, Ra1, f3, a2", "R5K1 P7 5P2"),  # pawns have none
        ("Kg1, f2, Ra1", "R5K1 5P2"),  # a king has one square
    ],
)
def test_squares_without_a_letter(white, expected):
    board = chess.BaseBoard.empty()
    board.set_piece_map(one(f"White: {white}; Black: Kg8").pieces)
    ranks = board.board_fen().split("/")[::-1]
    assert [rank for rank in ranks[:7] if rank != "8"] == expected.split()


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("White: Ki9, Qd1; Black: Kg8", [("i9", "i9 is not a square")]),
        ("White: Kg1, Qd1, a2, k2, b3; Black: Kg8", [("k2", "k2 is not a square")]),
        ("White: Kg1, Qd10; Black: Kg8", [("d10", "d10 is not a square")]),
        ("White: Kg1, Qd1; Black: Kg8, Rd1", [("Rd1", "a second man is put on d1")]),
        ("White: Kg1, Qd1, Kh1; Black: Kg8", [("Kh1", "White has a second king, on h1")]),
        ("White: Kg1, Xd4, Qd1; Black: Kg8", [("Xd4", "X names no man in this list")]),
    ],
)
def test_each_fault_is_named_at_its_place(text, expected):
    assert [(fault.span.of(text), fault.message) for fault in one(text).faults] == expected


def test_missing_kings_and_pawns_on_the_last_rank_are_no_fault_of_the_notation():
    assert one("White: Qg1, Pd8; Black: Rg8").faults == ()


@pytest.mark.parametrize(
    "text",
    [
        "White: to move",
        "White to play and mate in two",
        "White: 1.Sf4 Kd5 2.Qb6#",
        "White: Kg1; Black: Kg8",  # bare kings are no puzzle; more likely two moves
        "White's Kg1, Rf1 and Pg2 are out of play, Black's Kg8 is not",
        "White Ke1 and Rh1 can castle. Black cannot stop Qd1 and Ra1.",
        "Black: Kd5, Kc4 and Ke6 all lose.",
        "White: Kd3 wins. Black: Kd5, Sc3 draw.",
        "White: Kg1+ Qd1; Black: Kg8",
        "White: Kg1-f1, Qd1; Black: Kg8",
        "White: 8; Black: 11",
        "black-squared Bc1, white Kg1",
        "After 1.Sf4 (White: Kg6, Rh8; Black: Kg8) it is mate",
        "W. B. Key, B. S. White",
    ],
)
def test_no_list_is_seen(text):
    assert list(find_lists(text)) == []


def test_line_of_play_after_a_list_is_not_swallowed():
    text = "White: Kg1, Qd1; Black: Kg8. 1.Qd5+ Kh7"
    assert one(text).span.of(text) == "White: Kg1, Qd1; Black: Kg8"


def printed_list(pieces, names, sides, join):
    """Print a list with the given names of the men, each man with its own."""
    white, black = (next(word for word, colour in sides.items() if colour is side) for side in chess.COLORS)
    men = {
        side: join.join(
            names[man.piece_type] + chess.square_name(square) for square, man in pieces.items() if man.color is side
        )
        for side in chess.COLORS
    }
    return f"{white.capitalize()}: {men[chess.WHITE]}\n{black.capitalize()}: {men[chess.BLACK]}"


@pytest.mark.parametrize("language", LANGUAGES)
@given(pieces=positions(), join=st.sampled_from([", ", " ", "; ", ",\n"]))
def test_every_language_is_read_back(language, pieces, join):
    names = {kind: letter for letter, kind in reversed(LANGUAGES[language].items())}
    text = printed_list(pieces, names, SIDES[language], join)
    diagram = one(text)
    assert diagram.pieces == pieces
    assert diagram.faults == ()
    for square, span in diagram.piece_spans.items():
        assert span.of(text) == names[pieces[square].piece_type] + chess.square_name(square)


@pytest.mark.parametrize("language", WORDS)
@given(pieces=positions())
def test_words_of_every_language_are_read_back(language, pieces):
    names = {kind: word.capitalize() + " " for word, kind in reversed(WORDS[language].items())}
    assert one(printed_list(pieces, names, SIDES[language], ", ")).pieces == pieces


@given(pieces=positions())
def test_figurines_are_read_back(pieces):
    names = {man.piece_type: sign for sign, man in FIGURINES.items() if man.color}
    assert one(printed_list(pieces, names, SIDES["en"], " ")).pieces == pieces


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Kg1 Qd1 Rf1 a2 / Kg8 Rf8 (4+2)", "5rk1/8/8/8/8/8/P7/3Q1RK1"),
        ("Kg1 Qd1 Rf1/ Kg8 h7. Mate in two.", "6k1/7p/8/8/8/8/8/3Q1RK1"),
        ("12. Kg1 Qd1 Rf1 - Kg8 h7", "6k1/7p/8/8/8/8/8/3Q1RK1"),
        ("Rg1 Dd1 Tf1 / Rg8 h7 (3+2)", "6k1/7p/8/8/8/8/8/3Q1RK1"),
    ],
)
def test_a_line_of_two_kings_with_their_men(text, expected):
    diagram = one(text)
    assert (placement(diagram), diagram.faults) == (expected, ())


@pytest.mark.parametrize(
    "text",
    [
        "Kd5 Qb6 Rc3 / Kd6 Qc7 Rb2",  # two lines of moves: the kings stand side by side
        "Kd5 Qb6 Rc3 / Kf5 Qb6 Rc3",  # a square stands twice
        "Kd5 Qb6 / Kf5 Qc6",
        "After Kd5 Qb6 Rc3 / Kf5 Qc6 h5 all is over",
        "Kg1 Qd1 Rf1 / Kg8 h7 (4+2)",
    ],
)
def test_lines_of_moves_are_no_lists(text):
    assert list(find_lists(text)) == []


@pytest.mark.parametrize("white", ["Whıte", "Weiſs"])  # letters that `re` takes for an i and an s
def test_a_heading_spelt_almost_right_heads_no_list(white: str) -> None:
    assert list(find_lists(f"{white}: Kg1, Qd1; Black: Kg8")) == []


@pytest.mark.parametrize(
    ("letters", "hint", "expected"),
    [
        ("KQRBN", "", "en"),  # FIDE Laws, C.2
        ("KS", "", "en"),  # S for the knight in problems, from memory
        ("KDTLS", "", "de"),
        ("KDTLP", "", "nl"),
        ("RDTFC", "", "fr"),
        ("RDTAC", "", "es"),
        ("RDTBC", "", "pt"),
        ("KHWGS", "", "pl"),
        ("KB", "de", "de"),  # "Ba2" is a pawn under a German heading
    ],
)
def test_language_of_the_letters(letters, hint, expected):
    men = [(letter, side) for letter in letters for side in chess.COLORS]
    assert choose_language(men, {hint}) == expected


@pytest.mark.parametrize(
    "black",
    [
        "Ka7, Na5, b4, c6, f7, plus h7",
        "Ka7, Na5, b4, c6, f7 and a pawn on h7",
        "Ka7, Na5, b4, c6, f7 + h7",
        "Ka7, Na5, b4, c6, f7/h7",
        "Ka7, Na5 as well as Pb4, c6, f7, h7",
        "Ka7, N(a5), pp. b4, c6, f7, h7",
        "Ka7, Na5, Pawns: b4 c6 f7 h7",
        "Ka7, Na5, 4 pawns b4, c6, f7, h7",
        "the king on a7, a knight on a5 and four pawns on b4, c6, f7 and h7",
        "Ka7, Kt--a5, P's b4, c6, f7, h7",
        "Ka7, Na5, P(b4, c6, f7, h7)",
    ],
)
def test_a_list_is_read_whole(black):
    diagram = one(f"White: Kc1, Qd1; Black: {black}. Mate in two. 1.Qd8")
    assert (placement(diagram), diagram.faults) == ("8/k4p1p/2p5/n7/1p6/8/8/2KQ4", ())


@pytest.mark.parametrize(
    ("white", "expected"),
    [
        ("Kts on a3 and f3", "N4N2"),
        ("Ns a3, f3", "N4N2"),
        ("Kt's a3, f3", "N4N2"),
        ("two knights a3, f3", "N4N2"),
        ("2 bishops a3 and f3", "B4B2"),
    ],
)
def test_one_name_for_several_men(white, expected):
    diagram = one(f"White: Kc1, {white}; Black: Ka7, Pd7")
    assert (placement(diagram), diagram.faults) == (f"8/k2p4/8/8/8/{expected}/8/2K5", ())


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("White: Kc1, Qd1; Black: Ka7, Pd7, another chap at h7", "another chap at h7"),
        ("White: Kc1, the horse f3, Qd1; Black: Ka7, Pd7", "the horse f3"),
        ("White: Kc1, Qd1; Black: Ka7, Pd7, e4 knigth h7", "knigth h7"),
        ("White: Kc1, Qd1; Black: Ka7, Pd7, f7-h7", "f7-h7"),
        ("White: Kc1, Qd1, Ra1; Black: the monarch g8", "the monarch g8"),
        ("White: Kc1, two knights a3, f3, h3; Black: Ka7", "two"),
    ],
)
def test_what_is_left_over_is_a_fault_at_its_place(text, expected):
    assert [fault.span.of(text) for fault in one(text).faults] == [expected]


@pytest.mark.parametrize(
    "after",
    [" and the key is Qd8", " 1.Qd8 Kh7 2.Qh4", " - the pawn on a7 is pinned", "\nQd8!", ". The knight on a3 is gone."],
)
def test_words_behind_a_list_are_not_left_over(after):
    text = f"White: Kg1, Qd1; Black: Kg8, Pa7{after}"
    diagram = one(text)
    assert (diagram.span.of(text), diagram.faults) == ("White: Kg1, Qd1; Black: Kg8, Pa7", ())


def test_squares_in_descriptive_notation_are_counted_from_their_own_side():
    # As the columns of the nineteenth century count them; from memory.
    diagram = one("White: K on Q Kt sq, Q on K 6, P's on QR2, QKt3. Black: K on K 4, Kt on KB 3.")
    assert (placement(diagram), diagram.faults) == ("8/8/4Qn2/4k3/8/1P6/P7/1K6", ())


def test_white_has_and_black_has():
    text = "White has the king on g1 and pawns on a2 and b2, while Black has the king on g8 and a rook on f8."
    assert placement(one(text)) == "5rk1/8/8/8/8/8/PP6/6K1"
    assert list(find_lists("White has a queen on d1 and a rook on a1, Black has a rook on f8.")) == []


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("White (3): Kc1, Na3; Black: Ka7, Pd7", [("3", 3)]),
        ("White: Kc1, Na3 (2 men); Black: Ka7, Pd7 (4 men)", [("2", 2), ("4", 4)]),
        ("White: Kc1, Na3; Black: Ka7, Pd7", []),
    ],
)
def test_counts_beside_a_list(text, expected):
    assert [(count.span.of(text), count.number) for count in one(text).counts] == expected


def test_two_columns_of_moves_are_no_men():
    assert list(find_lists("WHITE      BLACK\n1. Qd4     Kxc6\n2. Qd7\n1. ...     Ka8")) == []
    assert list(find_lists("White      Black\nQd4        Kxc6\nKa3        Qd7+")) == []


@pytest.mark.parametrize(
    ("before", "behind"),
    [
        ("First Prize (No. 7). ", ". Mate in three."),
        ("Second Prize: 112 (", ", #3). A light piece."),
        ("Dear Ada, here it is: ", ""),
        ("The third of my set. ", "."),
    ],
)
def test_a_list_without_sides_behind_words_of_its_line(before, behind):
    men = "Kf2 Qf5 Pa3 b6 d6 g7 - Kf7 Pf6"
    assert placement(one(f"{before}{men}{behind}")) == "8/5kP1/1P1P1p2/5Q2/8/P7/5K2/8"


def test_kings_among_moves_are_no_list():
    assert list(find_lists("If 1.Kf2 Kf7, then: Kf2 Qf5 Pa3 b6 d6 g7 - Kf7 Pf6")) == []


@pytest.mark.parametrize(
    "king", ["the king alone, on g5", "king only, on g5", "the king all alone on g5", "a king by himself on g5"]
)
def test_a_king_without_company(king):
    assert placement(one(f"White: Ka2, Rh3, Pd4. Black: {king}. Mate in three.")) == "8/8/8/6k1/3P4/7R/K7/8"
