"""What is asked in words of no known form: twenty imagined speakers and columns, and what must not be taken for it.

The positions are of our own making: the first has one key in two moves (1.Kb7), the second in three (1.Kf4).
"""

import pytest
from keyproof.grammar.gleaning.askings import askings
from keyproof.grammar.scan import statements as scan
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Marker
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text

TWO = "FEN: K5n1/8/1R1p4/2k5/1p4Q1/1P3p2/8/6n1 w - - 0 1\n"
THREE = "FEN: 4N3/8/3p4/8/4p2k/4K3/8/Q7 w - - 0 1\n"
KEY = "The king steps to b7.\n"


def supposed(text: str) -> tuple[str | None, str | None]:
    """Return what the last puzzle of a text asks for, and the words it was taken from, None where it is stated."""
    puzzle = check_text("talk.txt", text, Options()).puzzles[-1]
    return puzzle.stipulation, puzzle.supposed


@pytest.mark.parametrize(
    ("position", "asked", "words"),
    [
        *(
            (TWO, "#2", words)
            for words in (
                "White, two moves.",
                "You get two moves, no more.",
                "Ours to go, and you must catch him in two goes.",
                "A little one. Two.",
                "Two again, white.",
                "It's a two, this.",
                "And on our second move he has to be mated.",
                "Mate falls on White's second move.",
                "I call it a twos-and-nothing sort of thing: two moves, white.",
                "Weiß beginnt, zwei Züge.",
                "Weiß fängt an. Ebenfalls zweizügig.",
                "Noch ein Zweier, Weiß zieht zuerst und das Ganze ist schnell vorbei.",
                "Les Blancs commencent, deux coups, pas un de plus.",
                "Les Blancs jouent les premiers, toujours en deux coups.",
                "Juegan las blancas, dos jugadas.",
                "Empiezan las blancas y son otra vez dos jugadas.",
                "Il Bianco muove, due mosse.",
                "Wit begint, en in twee zetten is het uit.",
                "Białe zaczynają, dwa ruchy.",
            )
        ),
        *(
            (THREE, "#3", words)
            for words in (
                "White begins, and it's three moves, not two.",
                "The question is whether you can do it in three.",
                "It's us to go first, and on our third move at the latest he has to be mated.",
                "Problem 9. (3 moves, harder)",
                "Weiß am Zug, dreizügig.",
                "Les Blancs jouent, trois coups.",
            )
        ),
    ],
)
def test_so_many_moves(position: str, asked: str, words: str) -> None:
    found, taken = supposed(position + words + "\n")
    assert found == asked
    assert taken


@pytest.mark.parametrize(
    "words",
    [
        "Back in two weeks.",
        "Black is left with two knights.",
        "He wins in two.",
        "Two pawns against none.",
        "The king has two moves.",
        "Number two, for the patient.",
        "Not two.",
        "See the diagram on page 2.",
        "It was sent in by two readers.",
        "The two of them never agreed.",
        "I spent two hours, two cups of tea and a biscuit on it.",
        "Ich brauchte zwei Stunden dafür.",
        "Schwarz hat zwei Springer und zwei Bauern.",
        "Il reste deux cavaliers aux Noirs.",
        "Quedan dos peones negros.",
        "Zwei Leser haben es gelöst.",
    ],
)
def test_what_asks_for_nothing(words: str) -> None:
    assert supposed(TWO + words + "\n") == (None, None)


def test_a_plain_order_stands_though_the_position_is_unsound() -> None:
    assert supposed(THREE + "Mate in two.\n\n1.Kf4! waits.\n") == ("#2", None)


@pytest.mark.parametrize("words", ["White, two moves.", "Three moves, white."])
def test_what_the_position_does_not_confirm(words: str) -> None:
    """A wrong number, or a position with more than one key, is no order but words."""
    assert supposed((THREE if "two" in words else TWO) + words + "\n") == (None, None)
    two_keys = "FEN: 7k/8/6K1/8/8/8/8/QR6 w - - 0 1\n"
    assert supposed(two_keys + words + "\n") == (None, None)


def test_other_words_are_plainer() -> None:
    """Three moves are asked for, and the position has a mate in two: it is not taken to ask for that."""
    assert supposed(TWO + "Three moves, white. Two of my readers sent it.\n") == (None, None)


def test_as_all_others_of_the_column() -> None:
    column = (
        TWO
        + "Mate in two.\n\n1.Kb7! waits.\n\n"
        + "Nothing is said here. " * 20
        + "\n\n"
        + "FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1\nMore of it.\n"
    )
    assert supposed(column) == ("#2", "")
    assert supposed(column.replace("two", "three")) == (None, None)


def test_nothing_is_asked_of_a_game() -> None:
    """In a text that asks for nothing and solves nothing a position with one mate is a position."""
    assert supposed(TWO + "From the club match. White took a draw here and went home.\n") == (None, None)


def test_a_wrong_key_a_refutation_and_an_answer_are_found() -> None:
    text = TWO + "White, two moves.\n\nKey: {}!\nTry: 1.Ka7? {}!\n1...Kd5 2.{}#\n"
    found = [
        check_text("a.txt", text.format(*given), Options()).findings
        for given in (("1.Kb7", "Kd5", "Rb5"), ("1.Ka7", "Kd5", "Rb5"), ("1.Kb7", "d5", "Rb5"), ("1.Kb7", "Kd5", "Qd7"))
    ]
    rules = [[each.finding.rule for each in one if each.finding.level.name == "error"] for one in found]
    assert rules[0] == []
    assert "key-fails" in rules[1]
    assert "refutation-fails" in rules[2]
    assert rules[3]


def test_what_is_left_out_is_not_held_against_it() -> None:
    text = TWO + "{}\n\nKey: 1.Kb7! 1...Kd5 2.Rb5#\n"
    rules = [
        {each.finding.rule for each in check_text("a.txt", text.format(asked), Options()).findings}
        for asked in ("Mate in two.", "White, two moves.")
    ]
    assert "defence-left-out" in rules[0] - rules[1]


def test_askings_cost_what_speaks_against_them() -> None:
    def costs(words: str) -> list[tuple[int, int]]:
        return [(each.number, each.cost) for each in askings(words, Span(0, len(words)), "english")]

    assert costs("White, two moves.") == [(2, 0)]
    assert costs("Also two.") == [(2, 1)]
    assert costs("mated in three, no, in two") == [(3, 0), (2, 0)]
    assert costs("two knights") == []
    assert costs("1 Rb1 ² a3") == []  # the sign of a footnote is a digit, and no number


def test_threats_that_are_met_are_not_told() -> None:
    """Behind "then" stands the answer to a defence, not what is threatened."""

    def marked(words: str) -> list[str]:
        return [each.kind for each in scan(words, (Span(0, len(words)),))[0] if isinstance(each, Marker)]

    assert "threat" not in marked("1...d5, which meets both threats, then 2.Qxb4#.")
    assert "threat" in marked("1.Kb7 has two threats, 2.Qc4# and 2.Rb5#.")


@pytest.mark.parametrize(
    ("words", "rules"),
    [
        ("Queen to c4 check. He takes a breath. It threatens nothing.", []),
        ("Try: 1.Qc4+? zugzwang, but 1...Kxc4!", ["threat-overlooked"]),
    ],
)
def test_nothing_threatened_by_a_check(words: str, rules: list[str]) -> None:
    """In words, a sentence later, another move is spoken of."""
    found = [each.finding.rule for each in check_text("a.txt", TWO + "Mate in two.\n\n" + words, Options()).findings]
    assert [each for each in found if each == "threat-overlooked"] == rules
