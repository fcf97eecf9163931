"""Answers told without their moves: "either", "both still mate", "take your pick", "always the rook"."""

import pytest
from test_walk_print import placed

TWO = "3k1b2/8/8/4N3/2R5/2p3p1/8/KQ6 w - - 0 1"  # 1.Qb7 threatens 2.Qd7 and 2.Rc8; 1...Bc5 2.Qd7 alone
TOLD = "Queen to b7, and queen d7 is mate, or the rook to c8. "


@pytest.mark.parametrize(
    "words",
    [
        "Bishop to d6? Either.",
        "Bishop to d6: take your pick.",
        "What if the bishop goes to d6? Both still mate.",
        "The bishop comes to d6. Toss a coin!",
        "Bishop d6, and both threats are there.",
        "Bishop d6, doesn't matter, either one you like.",
        "And bishop d6? - Suit yourself, either mate.",
        "Bishop to d6, the queen again, or please yourself.",
        "Bishop d6, and White may choose between the two.",
        "Bishop to d6 stops neither.",
        "Bishop to d6, and it is mate on d7 or on c8.",
        "When the bishop goes to d6 White has the choice.",
        "Bishop d6 is met by whichever of them one prefers.",
        "Bishop to d6? It does not matter which.",
        "On bishop d6 I mate as I please.",
        "Bishop d6 leaves him the choice of two.",
        "Bishop d6: rook c8 or d7.",  # the second square is the queen's
    ],
)
def test_either_answer(words: str) -> None:
    assert placed(TWO, TOLD + words) >= {"Qb7 Bd6 Qd7", "Qb7 Bd6 Rc8"}


@pytest.mark.parametrize("words", ["Bishop c5? Either.", "Bishop c5: it guards both. Queen d7."])
def test_one_of_them_does_not_mate(words: str) -> None:
    assert "Qb7 Bc5 Rc8" not in {each.rstrip("+") for each in placed(TWO, TOLD + words)}


def test_several_replies_at_once() -> None:
    found = placed(TWO, TOLD + "Bishop g7, bishop h6, or a pawn, g2 or c2: suit yourself.")
    replies = ("Bg7", "Bh6", "g2", "c2")
    assert found >= {f"Qb7 {reply} {answer}" for reply in replies for answer in ("Qd7", "Rc8")}


def test_only_the_man_is_named() -> None:
    found = placed(TWO, TOLD + "Pawn to g2? Always the rook. Bishop c5? Then the queen.")
    assert found >= {"Qb7 g2 Rc8", "Qb7 Bc5 Qd7"}
    assert "Qb7 g2 Qd7" not in found


@pytest.mark.parametrize(
    ("tongue", "text"),
    [
        ("german", "1.Db7! droht 2.Dd7# und 2.Tc8#. Auf 1...Ld6 gehen beide Matts."),
        ("german", "1.Db7! droht 2.Dd7# und 2.Tc8#. Nach 1...Ld6 hat Weiß die Wahl."),
        ("french", "1.Db7! menace 2.Dd7# et 2.Tc8#. 1...Fd6, au choix."),
        ("spanish", "1.Db7! amenaza 2.Dd7# y 2.Tc8#. 1...Ad6 y cualquiera de los dos."),
    ],
)
def test_either_answer_in_other_tongues(tongue: str, text: str) -> None:
    assert placed(TWO, text, tongue) >= {"Qb7 Bd6 Qd7", "Qb7 Bd6 Rc8"}
