"""Men and squares named in other manners, each of which the plainest way to take the words must understand.

The manners are common practice, no source; the positions are invented.
"""

import chess
import pytest
from keyproof.grammar.gleaning.tellings import beads_of, tellings
from keyproof.grammar.spans import Span
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text


@pytest.mark.parametrize(
    ("told", "fen"),
    [
        (
            "White: koning H2, dame B3. Zwart: koning A1, pionnen B4 en G3.",  # no bishop's third and fourth
            "8/8/8/8/1p6/1Q4p1/7K/k7",
        ),
        (
            "WHITE. K. at his 7th. Q. at her Kt.'s 2nd. BLACK. K. at K. R.'s 5th. P. at K. R.'s 7th.",
            "8/4K3/8/8/7k/8/1Q5p/8",
        ),
        (
            "WHITE. King at his Bishop's square; Queen at her Bishop's third. BLACK. King at King's Rook's fourth.",
            "8/8/8/7k/8/2Q5/8/5K2",
        ),
        (
            "Weiß: König Emil eins, Dame Heinrich fünf. Schwarz: König Cäsar vier, Bauer Dora sieben.",
            "8/3p4/8/7Q/2k5/8/8/4K3",
        ),
        ("White: king, E seven; queen, B two. Black: king, H four.", "8/4K3/8/8/7k/8/1Q6/8"),
        (
            "Les Blancs : roi e1, tour a8. En a4 il y a un cavalier noir. Les Noirs : ce cavalier a4, le roi c5.",
            "R7/8/8/2k5/n7/8/8/4K3",
        ),
        (
            "White king e1. Black king h8, bishop f2 ... wait, wrong, bishop f1.",
            "7k/8/8/8/8/8/8/4Kb2",
        ),
        ("White king h1, rook c8, bishop under the rook, on c7. Black king a1.", "2R5/2B5/8/8/8/8/8/k6K"),
        (
            "White king h1. White's churchman stands between their king and their rook, on c7. Black king a1, rook e3.",
            "8/2B5/8/8/8/4r3/8/k6K",
        ),
        ("Il re bianco in a4. La donna bianca è sotto il re nero, in g3. Il re nero in g5.", "8/8/8/6k1/K7/6Q1/8/8"),
        ("White king h1. Black: king e5 and nothing else but two pawns, e6 and h7.", "8/7p/4p3/4k3/8/8/8/7K"),
        (
            "White's king and queen are neighbours, he on h3, she on g3; rook f2. Black has king h6 and pawn d7.",
            "8/3p4/7k/8/8/6QK/5R2/8",
        ),
        (
            "The kings are badgers, the queens herons, rooks barrels. White: badger on e2, heron c3, barrel a1. "
            "Black: badger on g4.",
            "8/8/8/8/6k1/2Q5/4K3/R7",
        ),
        (
            "Blancas: rey e8, dos caballos en la misma fila, el de b5 y el de e5. Negras: rey g5.",
            "4K3/8/8/1N2N1k1/8/8/8/8",
        ),
        (
            "White: king c7, knight d8. Black: king f3, a pawn on h2, which is about to promote, and a pawn on d6.",
            "3N4/2K5/3p4/8/8/5k2/7p/8",
        ),
        ("Koningen: wit h7, zwart c8. Torens, alleen wit: a4 en b3.", "2k5/7K/8/8/R7/1R6/8/8"),
        (
            "The white king? On a5. And the black one? On d2. White's queen? a2. White's bishop? b7.",
            "8/1B6/8/K7/8/8/Q2k4/8",
        ),
        ("White king h1, black king e5 ... I misread: e6, not e5. White rook a6.", "8/8/R3k3/8/8/8/8/7K"),
        ("White's queen is on h1, his king in the centre, d4, and theirs is over on a4.", "8/8/8/8/k2K4/8/8/7Q"),
        (
            "White's king's at f7, his rook a4. He has one pawn, e6. The other fellow's king stands at g1, a pawn h3.",
            "8/5K2/4P3/8/R7/7p/8/6k1",
        ),
        ("White has a king on a1 and a rook c7. The enemy: king h4, pawn h5.", "8/2R5/8/7p/7k/8/8/K7"),
        ("White: king c2, parson d8, two foot-soldiers on h3 and h5. Black: king a6.", "3B4/8/k7/7P/8/7P/2K5/8"),
        (
            "White: king george six, queen apple five, bishop freddie five, pawns bobby five and george five. "
            "Black: king freddie eight.",
            "5k2/8/6K1/QP3BP1/8/8/8/8",
        ),
        ("Taken down by E. P.\nTwo pawns fell. White's king d4, queen a1. Black's king a4.", "8/8/8/8/k2K4/8/8/Q7"),
        (
            "For the first, our king goes in the corner on a1 and, at the far end of that long row, on h1, a white "
            "queen; black has a king on h4.",
            "8/8/8/8/7k/8/8/K6Q",
        ),
    ],
)
def test_squares_and_men_in_other_manners(told: str, fen: str) -> None:
    found = [each for telling in tellings(told, Span(0, len(told))) for each in telling.diagrams]
    board = chess.BaseBoard(None)
    board.set_piece_map(found[0].pieces)
    assert board.board_fen() == fen


def test_men_named_before_their_file_stand_on_it() -> None:
    told = "White king a3. Black: king a6, two knights, both on the h-file, one on seven and one on eight."
    (found, *_) = tellings(told, Span(0, len(told)))
    men = [{chess.square_name(square) for square in each.pieces} for each in found.diagrams]
    assert {"a3", "a6", "h7", "h8"} in men[:2]


def test_a_name_is_used_elsewhere_than_where_it_is_given() -> None:
    told = "White's king is standing on d4. Black's king is in the corner where a rook belongs, a1."
    assert not any(bead.does == "man" and bead.text == "belongs" for bead in beads_of(told, Span(0, len(told))))


def test_a_position_is_told_before_one_that_is_printed() -> None:
    told = (
        "Weiß: König f2, Turm e5, Springer e6. Schwarz hat fast nichts: König g4 und den Bauern h5. Matt in zwei Zügen."
    )
    play = "Der Schlüssel ist König g2. Nach König h4 folgt Turm e4, nach Bauer h4 dann Turm g5, jeweils matt."
    other = "Die zweite Aufgabe: k7/8/2K2N2/8/p7/7R/8/8 w - - 0 1\nWieder matt in zwei."
    found = check_text("a.txt", f"{told}\n{play}\n{other}\n", Options(fresh=True)).puzzles
    assert [each.fen.split()[0] for each in found if each.fen] == ["8/8/4N3/4R2p/6k1/8/5K2/8", "k7/8/2K2N2/8/p7/7R/8/8"]


def test_a_told_position_that_leaves_out_a_square_and_is_not_sound_is_none() -> None:
    told = (
        "A: I know one. Black is in bed, king e8. My king is on g5.\nA: Queens?\nB: Only mine, c5. I have a rook on "
        "h4. He has a rook too, on a3.\nA: Mate in two?\nB: Qf8 mate, I think.\n"
    )
    (found,) = check_text("a.txt", told, Options(fresh=True)).puzzles
    assert found.fen is None


@pytest.mark.parametrize("answer", ["Answer: rook alpha five.", "And the answer, rook alpha five."])
def test_the_key_told_right_behind_a_position_is_no_man_of_it(answer: str) -> None:
    told = (
        "King alpha eight. Queen charlie seven. Rook golf five. Knight bravo four. Pawn delta two. Those are white. "
        f"Black king bravo three. White in two.\n{answer} Takes the knight, queen charlie three. King bravo two, queen "
        "charlie two.\n"
    )
    (found,) = check_text("a.txt", told, Options(fresh=True)).puzzles
    assert found.fen is not None
    assert found.fen.split()[0] == "K7/2Q5/8/6R1/1N6/1k6/3P4/8"


def test_a_man_on_the_square_of_the_key_is_not_believed_though_the_key_would_take_him() -> None:
    told = (
        "W.: king h6, his queen is a4, the horses a2 and f2, one pawn and this at g7. B.: king b8, pawns c4, e5, f4. "
        "2 moves.\nHe gives the solution so: Q d7 locks the seventh. The king may go only in the corner a8, then the "
        "pawn walks to g8 and is queen or rook with mate.\n"
    )
    (found,) = check_text("a.txt", told, Options(fresh=True)).puzzles
    assert found.fen is not None
    assert found.fen.split()[0] == "1k6/6P1/7K/4p3/Q1p2p2/8/N4N2/8"


def test_a_sentence_that_goes_on_with_men_goes_on_with_the_position() -> None:
    told = (
        "White king b6, queen h5, rook a7, bishop d3, pawn b5.\nBlack king d8, rook f8, bishop f7, knight stuck in the "
        "corner on h1, pawns c3 and a6. Mate in two, over.\n"
    )
    (found,) = check_text("a.txt", told, Options(fresh=True)).puzzles
    assert found.fen is not None
    assert found.fen.split()[0] == "3k1r2/R4b2/pK6/1P5Q/8/2pB4/8/7n"
