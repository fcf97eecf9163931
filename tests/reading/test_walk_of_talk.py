"""What people say of play beside its moves: denials that are so, the rook's part of castling, lists of promotions."""

import pytest
from keyproof.grammar.clauses import clauses
from keyproof.grammar.cues import Stance
from keyproof.grammar.spans import Span
from test_walk_print import ROOK, placed

WINGED = "8/8/8/7B/8/4p1k1/3N2N1/4K2R w K - 0 1"  # 1.O-O threatens 2.Rf3
ANSWERED = "3k1b2/8/8/4N3/2R5/2p3p1/8/KQ6 w - - 0 1"  # 1.Qb7 threatens 2.Qd7 and 2.Rc8
PROMOTES = "8/8/8/4N3/6R1/5N1b/6p1/4K2k w - - 0 1"  # 1.Nd3 threatens 2.Nf2; any promotion 2.Rxg1


@pytest.mark.parametrize(
    "text",
    [
        "Castle! The rook comes to f1 and next the rook up to f3 is mate. He takes on d2, rook f3 mate.",
        "So you castle, rook to f1. He takes on d2 and rook f3 is mate.",
    ],
)
def test_the_rook_of_castling_is_told_again(text: str) -> None:
    assert placed(WINGED, text) >= {"O-O", "O-O exd2 Rf3"}


@pytest.mark.parametrize(
    "text",
    [
        "Knight to d3. If he queens, the rook takes it on g1. A bishop, well, take it with the rook.",
        "Knight d3. He can make a queen on g1, or a rook, a bishop, a knight, and rook takes, mate every time.",
    ],
)
def test_promotions_of_the_defender(text: str) -> None:
    assert placed(PROMOTES, text) >= {"Nd3 g1=Q Rxg1", "Nd3 g1=B Rxg1"}


@pytest.mark.parametrize(
    "words", ["if king h three g one d five g three mate", "so king h three g one h four h two mate"]
)
def test_in_speech_each_square_behind_a_mans_may_be_the_next_move(words: str) -> None:
    board = "4N3/8/3p4/8/4p2k/4K3/8/Q7 w - - 0 1"  # 1.Kf4; Kh3 2.Qg1
    last = "d5 Qg3" if "d five" in words else "Kh4 Qh2"
    assert f"Kf4 Kh3 Qg1 {last}" in placed(board, f"the key is king to f four {words}", moves=3)


def test_squares_that_make_no_line_are_where_a_man_goes() -> None:
    text = "the key is king to g two then king h four h three h five whatever"
    assert placed("8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1", text) >= {"Kg2 Kh4"}


def test_a_denial_that_is_so_costs_nothing() -> None:
    text = "Knight d3, and his king can't come to f2. Bishop takes g4, knight f2 mate."
    assert placed(PROMOTES, text) >= {"Nd3 Bxg4 Nf2"}


def test_what_somebody_says_ends_with_its_line() -> None:
    text = (
        "and most of you say rook d eight\nbut king b six is the move you see\n"
        "he goes b eight and rook d eight is mate\nthat is it for today\n"
    )
    found = clauses(text, [Span(0, len(text))])
    assert found[-2].stance is Stance.asserted


def test_squares_as_captions_write_them() -> None:
    text = (
        "the key is queen be seven\nand the threat is rook see ate\nif bishop before then rook see ate mate\n"
        "pawn see to queen the seven mate\nking he ate rook see ate\nand bishop of ... no that is all\n"
    )
    found = placed(ANSWERED, text)
    assert found >= {"Qb7", "Qb7 Bb4 Rc8", "Qb7 c2 Qd7", "Qb7 Ke8 Rc8"}


def test_a_number_of_moves_is_not_taken() -> None:
    text = "Queen b7. Bishop d6, and I accept two answers, queen d7 or rook c8."
    assert placed(ANSWERED, text) >= {"Qb7 Bd6 Qd7", "Qb7 Bd6 Rc8"}


@pytest.mark.parametrize(
    "words",
    [
        "Then he goes to g1 and it becomes a queen, or a rook, bishop or knight, and the rook takes it.",
        "And on g1 any promotion: the rook takes it, mate.",
        "The pawn comes to g1 and makes a queen, rook, bishop or a knight. Rook takes, mate.",
    ],
)
def test_any_promotion(words: str) -> None:
    assert placed(PROMOTES, f"Knight to d3. {words}") >= {f"Nd3 g1={man} Rxg1" for man in "QRBN"}


def test_it_is_not_the_king() -> None:
    text = "Queen b7. The pawn goes to c2: rook c8 mate. The knight watches. If it goes to e7: rook c8."
    assert "Qb7 Ke7" not in placed(ANSWERED, text)


@pytest.mark.parametrize(
    "words",
    [
        "And the threat is... Rook c8.",
        "So e7 is shut, and the rook wants to go to c8.",
        "And now the rook has c8, mate.",
        "If nobody does anything: rook to c8, mate.",
        "Not queen a2: bishop c5. After queen b7 he goes to e8, rook c8 mate. If he passes, rook c8 as well.",
    ],
)
def test_threats(words: str) -> None:
    assert placed(ANSWERED, f"Queen to b7. {words}") >= {"Qb7", "Qb7 -- Rc8"}


@pytest.mark.parametrize(
    ("words", "line"),
    [
        ("Bishop to g7, c8 with the rook, mate. Bishop to d6, c8 again.", "Bd6 Rc8"),
        ("Does he push the g one? Rook c8.", "g2 Rc8"),
    ],
)
def test_replies(words: str, line: str) -> None:
    assert placed(ANSWERED, f"Queen to b7. {words}") >= {f"Qb7 {line}"}


def test_you_are_not_the_man_that_moved_before() -> None:
    text = "Knight to d3. If he pushes that pawn to g1 you take it with the rook."
    assert "Nd3 g1=Q Rxg1" in placed(PROMOTES, text)


def test_lines_without_a_stop_at_their_ends_are_sentences() -> None:
    lines = (
        "ok so it's rook g4, I love that one, rook to g4",
        "nothing he drops in between helps, honestly, nothing",
        "king h6, rook h4, that's the one",
        "pawn h6, queen g6, see",
        "and a knight move, queen g5, sure",
        "thanks for watching, bye",
    )
    assert placed(ROOK, "\n".join(lines)) >= {"Rg4", "Rg4 Kh6 Rh4", "Rg4 h6 Qg6"}
