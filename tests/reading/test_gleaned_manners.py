"""Men and squares named in other manners, each of which the plainest way to take the words must understand.

The manners are common practice, no source; the positions are invented.
"""

import chess
import pytest
from keyproof.grammar.gleaning.tellings import tellings
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
    ],
)
def test_squares_and_men_in_other_manners(told: str, fen: str) -> None:
    found = [each for telling in tellings(told, Span(0, len(told))) for each in telling.diagrams]
    board = chess.BaseBoard(None)
    board.set_piece_map(found[0].pieces)
    assert board.board_fen() == fen


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
