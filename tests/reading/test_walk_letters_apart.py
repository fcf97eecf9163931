"""Moves whose letter stands apart, letters for men, and a square that answers the one before: "knight takes c7, g5"."""

import chess
import pytest
from keyproof.grammar.letters import LANGUAGES
from keyproof.grammar.lexicon.apart import man_of_letter, move_apart
from keyproof.grammar.lexicon.table import table_of
from test_walk_print import placed

TWO = "3k4/8/2K2pQp/4p3/n7/1p2b1pp/2P5/5B2 w - - 0 1"  # 1.Qf7 with 2.Qf8 and 2.Qd7; 1...Bc5 2.Qd7, 1...Nc5 2.Qf8


@pytest.mark.parametrize(
    ("text", "piece", "origin", "promotion"),
    [
        ("R a1–a7", chess.ROOK, "a1", None),
        ("Kt f3-e5", chess.KNIGHT, "f3", None),
        ("K h2 × h3", chess.KING, "h2", None),
        ("P g6–g5", chess.PAWN, "g6", None),
        ("Q c8", chess.QUEEN, None, None),
        ("b2–b1 = Q", chess.PAWN, "b2", chess.QUEEN),
    ],
)
def test_moves_are_read_apart(text: str, piece: int, origin: str | None, promotion: int | None) -> None:
    found = move_apart(text, 0, len(text), LANGUAGES["en"])
    assert found is not None
    assert (found.text, found.piece, found.promotion) == (text, piece, promotion)
    assert (None if found.origin_span is None else found.origin_span.of(text)) == origin
    if found.promotion_span is not None:
        assert found.promotion_span.of(text) == "Q"


@pytest.mark.parametrize("text", ["R takes a7", "I a1-a7", "RR a1-a7", "A e4", "K 4"])
def test_other_letters_are_no_moves(text: str) -> None:
    assert move_apart(text, 0, len(text), LANGUAGES["en"]) is None


@pytest.mark.parametrize(
    ("text", "told"),
    [("N other", True), ("K goes", True), ("Q Kt 5", False), ("K sq.", False), ("A man", False)],
)
def test_letters_stand_for_men(text: str, told: bool) -> None:
    found = man_of_letter(text, 0, len(text), LANGUAGES["en"], table_of("english"))
    assert (found is not None) is told


def test_initials_are_no_men() -> None:
    text = "Mr J. K said"
    assert man_of_letter(text, text.index("K"), len(text), LANGUAGES["en"], table_of("english")) is None


def test_a_postcard_is_read() -> None:
    found = placed(TWO, "Soln.: Q g6–f7. Thr. Q f7–f8 and Q f7–d7. If B e3–c5, Q f7–d7. If Kt a4–c5, Q f7–f8.")
    assert found >= {"Qf7 Bc5 Qd7", "Qf7 Nc5 Qf8"}


def test_all_moves_of_a_letter() -> None:
    found = placed(TWO, "Qf7!\nBc5 = Qd7\nNc5 = Qf8\nB other = Qf8 or Qd7, all pawns the same")
    assert found >= {"Qf7 Bd4 Qf8", "Qf7 Bd4 Qd7", "Qf7 h2 Qf8", "Qf7 h2 Qd7"}


def test_a_square_may_answer_the_one_before() -> None:
    found = placed(TWO, "Queen to f7. Bishop to c5, d7. Knight to c5, f8.")
    assert found >= {"Qf7 Bc5 Qd7", "Qf7 Nc5 Qf8"}


def test_two_squares_are_a_list_where_an_answer_follows() -> None:
    found = placed(TWO, "Queen to f7. Bishop to d4, c1: queen f8.")
    assert found >= {"Qf7 Bd4 Qf8", "Qf7 Bc1 Qf8"}


def test_a_man_with_counted_moves() -> None:
    assert "Qf7 Bd4 Qf8" in placed(TWO, "Queen to f7. The bishop's nine moves: queen to f8.")
