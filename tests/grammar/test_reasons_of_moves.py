"""What is said of a move or a mate: the phrases, their places and their parts."""

import chess
import pytest
from keyproof.grammar.letters import LANGUAGES
from keyproof.grammar.reasons import reasons
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Reason


def read(text: str) -> list[Reason]:
    return reasons(text, Span(0, len(text)), LANGUAGES["en"])


@pytest.mark.parametrize(
    ("text", "kind", "words"),
    [
        ("1.Qc8 sacrifices the queen.", "sacrifice", "sacrifices the queen"),
        ("White offers the rook on c5.", "sacrifice", "offers the rook on c5"),
        ("With a queen sacrifice on c8", "sacrifice", "a queen sacrifice"),
        ("Here the rook is given up.", "sacrifice", "the rook is given up"),
        ("That is a quiet move.", "quiet", "quiet move"),
        ("A quiet key!", "quiet", "quiet"),
        ("1.e8=N, an underpromotion", "underpromotion", "underpromotion"),
        ("for a queen would be stalemate", "other_promotion", "a queen would be stalemate"),
        ("since a rook would not be check", "other_promotion", "a rook would not be check"),
        ("for a queen doesn't give mate", "other_promotion", "a queen doesn't give mate"),
        ("2.Nf7 is a smothered mate.", "mate_picture", "a smothered mate"),
        ("a mate by two crossing bishops", "mate_picture", "a mate by two crossing bishops"),
        ("a discovered check from the bishop", "discovered_check", "discovered check from the bishop"),
        ("a double check by rook and bishop", "double_check", "double check by rook and bishop"),
        ("a battery on the d-file", "battery", "battery on the d-file"),
        ("The rook and the knight form a battery.", "battery", "The rook and the knight form a battery"),
        ("2.Nd5 fires the battery", "battery_fired", "fires the battery"),
        ("the queen is drawn away from d four", "drawn_away", "the queen is drawn away from d four"),
        (
            "the rook is overloaded with guarding d4 and f6",
            "overloaded",
            "the rook is overloaded with guarding d4 and f6",
        ),
    ],
)
def test_a_reason_is_found_in_its_place(text: str, kind: str, words: str) -> None:
    (reason,) = read(text)
    assert (reason.kind, reason.span.of(text)) == (kind, words)


@pytest.mark.parametrize(
    "text",
    [
        "White offers a queen exchange.",
        "The key offers the king no hope.",
        "White gives up the long diagonal.",
        "A quiet evening, and several quiet moves.",
        "An underpromotion to a knight",
        "a queen would be stalemate after three moves",
        "a queen gives check on e6",
        "a queen would help",
        "This is a model of its kind.",
        "They opened the battery of the torch.",
        "the queen is drawn away from her king",
        "The rook is overloaded.",
    ],
)
def test_other_words_are_no_reason(text: str) -> None:
    assert read(text) == []


def test_the_men_of_a_reason_are_read() -> None:
    (battery,) = read("the rook on d1 and the knight form a battery")
    assert battery.man is not None
    assert battery.other is not None
    assert (battery.man.kinds, battery.man.squares) == ((chess.ROOK,), (chess.D1,))
    assert battery.other.kinds == (chess.KNIGHT,)
    (denied,) = read("a rook would not be check")
    assert denied.negated
