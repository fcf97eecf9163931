"""FEN in running text. The fields are those of the PGN standard, 16.1.3.1 to 16.1.3.6."""

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st
from keyproof.grammar.fens import find_fens
from reading_texts import START, board_of, placement, positions, unmarked


def one(text):
    diagrams = list(find_fens(text))
    assert len(diagrams) == 1
    return diagrams[0]


def complaints(text):
    return [(fault.span.of(text), fault.message) for fault in one(text).faults]


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("", ""),
        ("FEN: ", ""),
        ("FEN:", "."),
        ("`", "`"),
        ('[FEN "', '"]'),
        ("(", ")"),
        ("", "\r\n1.e4"),
        ("", " 1.e4 e5"),
    ],
)
def test_all_six_fields_in_any_surroundings(before, after):
    # PGN standard 16.1.4 prints this FEN for the start of a game.
    fen = f"{START} w KQkq - 0 1"
    diagram = one(before + fen + after)
    assert diagram.span.of(before + fen + after) == fen
    assert placement(diagram) == START
    assert (diagram.turn, diagram.castling, diagram.en_passant, diagram.faults) == (chess.WHITE, "KQkq", None, ())
    assert diagram.has_en_passant_field


def test_en_passant_field_and_castling_span():
    # PGN standard 16.1.4: the position after 1.e4.
    text = "After 1.e4: rnbqkbnr/pppppppp/8/8/4P3/8/PPPP1PPP/RNBQKBNR b KQkq e3 0 1"
    diagram = one(text)
    assert diagram.en_passant == chess.E3
    assert diagram.turn is chess.BLACK
    assert diagram.castling_span is not None
    assert diagram.castling_span.of(text) == "KQkq"


@pytest.mark.parametrize(
    ("tail", "read", "turn", "castling"),
    [
        ("", "", None, None),
        (". A study", "", None, None),
        (" w", " w", True, None),
        (" b wins", " b", False, None),
        (" w 1.Qb1! Kh2", " w", True, None),
        (" w KQ", " w KQ", True, "KQ"),
        (" w a 3-mover", " w", True, None),
        (" w - mate in two", " w", True, None),  # a dash between words is no field
        (" w - e4 wins", " w", True, None),
        (" w - -", " w - -", True, "-"),
        (" w - - 1.Qb1!", " w - -", True, "-"),
        (" w - - bm Qb1;", " w - -", True, "-"),  # EPD: four fields and operations, PGN standard 16.2
        (" w - - 0 1. Qb1!", " w - - 0 1", True, "-"),
        ("   w\t-  -  12  40,", "   w\t-  -  12  40", True, "-"),
        (" w – – 0 1", " w – – 0 1", True, "-"),  # dashes as a word processor makes them
        (" W - - 0 1", " W - - 0 1", True, "-"),
        (" w -\n- 0 1", " w -", True, "-"),
    ],
)
def test_fewer_fields_stop_where_the_prose_begins(tail, read, turn, castling):
    text = "8/8/8/8/8/8/8/K6k" + tail
    diagram = one(text)
    assert diagram.span.of(text) == "8/8/8/8/8/8/8/K6k" + read
    assert (diagram.turn, diagram.castling, diagram.faults) == (turn, castling, ())


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        # 16.1.3.1: eight ranks of eight squares, digits 1 to 8, men pnbrqk in either case.
        ("8/8/p8/8/8/8/8/K6k", [("p8", "rank 6 of the FEN has 9 squares")]),
        ("8/8/8/8/8/8/8/K5k w", [("K5k", "rank 1 of the FEN has 7 squares")]),
        ("8/1/8/8/8/8/8/K6k", [("1", "rank 7 of the FEN has 1 square")]),
        ("8//8/8/8/8/8/K6k", [("/", "rank 7 of the FEN has no squares")]),
        ("8/8/8/8/8/8/kK6/", [("/", "rank 1 of the FEN has no squares")]),
        ("8/9/8/8/8/8/8/K6k", [("9", "9 is not a number of empty squares")]),
        ("8/8/8/8/8/8/K6k w - - 0 1", [("8/8/8/8/8/8/K6k", "the FEN has 7 ranks")]),
        ("8/8/8/8/8/8/8/8/K6k", [("8/8/8/8/8/8/8/8/K6k", "the FEN has 9 ranks")]),
        ("8/3S4/8/8/3N4/8/8/K6k", [("S", "the letter S names no man in a FEN; the knight is N or n")]),
        ("8/3x4/8/8/8/8/8/K6k", [("x", "the letter x names no man in a FEN")]),
        # 16.1.3.2
        ("8/8/8/8/8/8/8/K6k white - - 0 1", [("white", "the FEN gives the side to move as white; it is w or b")]),
        # 16.1.3.3
        ("8/8/8/8/8/8/8/K6k w KK - 0 1", [("KK", "the castling field KK names a right twice")]),
        ("8/8/8/8/8/8/8/K6k w HA - 0 1", [("HA", "the castling field is HA; it is - or some of K, Q, k and q")]),
        # 16.1.3.4
        ("8/8/8/8/8/8/8/K6k w - e3 0 1", [("e3", "the en passant square is e3; with White to move it lies on rank 6")]),
        ("8/8/8/8/8/8/8/K6k b - e6 0 1", [("e6", "the en passant square is e6; with Black to move it lies on rank 3")]),
        ("8/8/8/8/8/8/8/K6k b - i3 0 1", [("i3", "the en passant field names i3, which is not a square")]),
    ],
)
def test_each_fault_is_named_at_its_place(text, expected):
    assert complaints(text) == expected


def test_several_faults_are_all_named():
    text = "8/8/p8/8/8/3X4/8/K6k w KQKQ e3 0 1"
    assert [spot for spot, _ in complaints(text)] == ["p8", "X", "KQKQ", "e3"]


def test_missing_kings_and_pawns_on_the_last_rank_are_no_fault_of_the_notation():
    assert one("P7/8/8/8/8/8/8/7p w - - 0 1").faults == ()


@pytest.mark.parametrize(
    "text",
    [
        "",
        "see a/b/c/d/e/f/g/h for more",
        "https://example.org/a/b/c/d/e/f/g/h/i",
        "src/one/two/three/four/five/six/seven",
        "1/2/3/4/5/6/7/8",
        "on 8/8/26 or 9/8/26",
        "Kc4/Kd5/Ke6/b4/b3/d5/d6/f5",
        "either/or and/or he/she",
        "8/8/8/8 was the score",
    ],
)
def test_no_fen_is_seen(text):
    assert list(find_fens(text)) == []


@given(positions(), st.booleans(), st.sampled_from(["-", "K", "kq", "KQkq"]), st.integers(0, 90), st.integers(1, 300))
def test_what_the_library_prints_is_read_back(pieces, turn, castling, halfmoves, number):
    fen = f"{board_of(pieces).board_fen()} {'w' if turn else 'b'} {castling} - {halfmoves} {number}"
    diagram = one(f"Position {fen}; mate in two")
    assert diagram.pieces == pieces
    assert (diagram.turn, diagram.castling, diagram.faults) == (turn, castling, ())
    text = f"Position {fen}; mate in two"
    assert diagram.span.of(text) == fen
    for square, span in diagram.piece_spans.items():
        assert span.of(text) == pieces[square].symbol()


@given(positions(), st.data())
def test_no_sign_can_be_left_out_unnoticed(pieces, data):
    printed = board_of(pieces).board_fen()
    place = data.draw(st.integers(0, len(printed) - 1))
    text = f"FEN: {printed[:place]}{printed[place + 1 :]} w - - 0 1"
    diagram = one(text)
    assert diagram.faults
    assert all(fault.span.of(text) for fault in diagram.faults)


def test_two_fens_in_a_line_keep_their_places():
    text = "a) 8/8/8/8/8/8/8/K6k w - - 0 1 b) 8/8/8/8/8/8/8/k6K b - - 0 1"
    first, second = find_fens(unmarked(text).masked)
    assert first.span.of(text) == "8/8/8/8/8/8/8/K6k w - - 0 1"
    assert second.span.of(text) == "8/8/8/8/8/8/8/k6K b - - 0 1"


MATE = "6k1/5ppp/8/8/8/1Q3N2/B5PP/3R2K1"
RANKS = MATE.split("/")


@pytest.mark.parametrize(
    "text",
    [
        "Forsyth: " + " / ".join(RANKS),
        "Forsyth: " + " | ".join(RANKS) + " w - -",
        ", ".join(RANKS),
        " ".join(RANKS) + ", mate in two",
        "\\".join(RANKS),
        "\n".join(RANKS),
        "/\r\n".join(RANKS),
        "/".join(RANKS[:4]) + "/\n" + "/".join(RANKS[4:]),
        "/".join(RANKS[:4]) + "\n/" + "/".join(RANKS[4:]),
        "\n".join(f"{8 - index}. {rank}" for index, rank in enumerate(RANKS)),
        "\n".join(f"Rank {8 - index}: {rank}" for index, rank in enumerate(RANKS)),
        "No. 8: " + " / ".join(RANKS),
        MATE + "_w_-_-",
        MATE.replace("N", "S"),
        MATE.translate(str.maketrans("QRBNP", "DTLSB", "")).replace("p", "b"),  # German
        MATE.translate(str.maketrans("QRBNP", "DTLSP", "")),  # German, but for the pawns
        MATE.translate(str.maketrans("KkQRBN", "RrDTFC", "")),  # French
        MATE.translate(str.maketrans("KkQRBN", "RrDTAC", "")),  # Spanish
        MATE.translate(str.maketrans("QRBN", "HWGS", "")),  # Polish
    ],
)
def test_other_signs_between_the_ranks_and_letters_of_other_languages(text):
    # Common practice, no source: the standard knows neither.
    diagram = one(text)
    assert (placement(diagram), diagram.faults) == (MATE, ())


def test_fields_follow_ranks_that_are_set_apart():
    diagram = one(" / ".join(RANKS) + " b - - 0 1")
    assert (diagram.turn, diagram.castling) == (chess.BLACK, "-")


def test_a_misprinted_rank_among_others_set_apart_is_a_fault_at_its_place():
    assert complaints(" / ".join([*RANKS[:2], "7", *RANKS[3:]])) == [("7", "rank 6 of the FEN has 7 squares")]


@pytest.mark.parametrize(
    "text",
    [
        "8, 8, 8, 8, 8, 8, 8, 8",
        "a8 b7 c6 d5 e4 f3 g2 h1",
        "Round 1 2 3 4 5 6 7 8\nAnna 1 0 1 1 0 1 1 0",
        "tab 1 / tab 2 / tab 3 / tab 4 / tab 5 / tab 6 / tab 7 / tab 8",
        "7K 7k 8 8 8 8 8",  # seven ranks
        "1. Qb3 Kh8 2. Rd8 Rf8 3. Rxf8",
        "see usr/lib/x/k1/k2/k3/K4/5",
        "K7 7K 8 8 8 8 8 8",  # two kings of one side
    ],
)
def test_lists_of_numbers_squares_and_moves_are_no_ranks(text):
    assert list(find_fens(text)) == []


def test_the_standard_knows_its_own_letters_alone():
    faults = next(find_fens(MATE.replace("N", "S"), standard=True)).faults
    assert [fault.message for fault in faults] == ["the letter S names no man in a FEN; the knight is N or n"]
    assert list(find_fens(" / ".join(RANKS), standard=True)) == []


def test_long_gaps_between_many_numbers_are_passed_over_one_by_one():
    # With a pattern of all eight ranks this took longer than anybody waits.
    assert list(find_fens(("8" + " " * 60) * 40 + "x")) == []
    assert list(find_fens("4k3 " + " " * 9 + ("\n" + " " * 40 + "4k3") * 40)) == []
