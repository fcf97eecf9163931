"""What is likely to be told: what solves, what refutes, one reply to several tries, where a king can go."""

import pytest
from keyproof.grammar.letters import as_notation
from keyproof.grammar.lexicon.lexemes import lexemes
from keyproof.grammar.men import find_lists
from keyproof.grammar.spans import Span
from test_walk_print import placed

ARRIVES = "k7/3P4/2N5/8/3p2R1/8/1K6/8 w - - 0 1"  # 1.d8=N; queen, rook fail to Kb7, the bishop also to d3
LEAVES = "8/3p4/1B6/2P1K3/4PQ2/2p5/2pP4/5Nk1 w - - 0 1"  # 1.Qf3 threatens 2.c6


@pytest.mark.parametrize(
    "text",
    [
        "A queen on d8 gives check. A rook on d8 does too. In both cases the king steps to b7.",
        "You may promote to a queen on d8, you may promote to a rook on d8. Either way he steps to b7.",
        "Nach 1.d8=Q und 1.d8=R spielt er beide Male Kb7.",
    ],
)
def test_one_reply_is_told_of_all_the_tries_before_it(text: str) -> None:
    assert placed(ARRIVES, text) >= {"d8=Q Kb7", "d8=R Kb7"}


@pytest.mark.parametrize(
    "words", ["At the moment the king can go to b7.", "He has b7, as things stand.", "Where can he go? To b7."]
)
def test_where_a_king_can_go_is_not_what_the_first_move_answers(words: str) -> None:
    assert "d8=Q Kb7" in placed(ARRIVES, f"{words} You make a queen, but then he slips out to b7.")


def test_a_move_behind_a_word_of_reasons_is_still_told() -> None:
    assert "Qf3" in placed(LEAVES, "the first thing the eye does is queen to f3 and then c6 is the threat")


def test_a_denial_ends_with_its_clause() -> None:
    text = "now don't write to me about it I know it well and so queen to f3 is the move that does it"
    assert "Qf3" in placed(LEAVES, text)


@pytest.mark.parametrize("text", ["One on d4, one on h4... ", "and he... "])
def test_a_text_may_end_in_dots(text: str) -> None:
    assert [each.kind for each in lexemes(text, Span(0, len(text)))][-1] == "pause"


@pytest.mark.parametrize(
    ("printed", "notation"),
    [
        ("1. Dc4-\u00e96 ! Menace 2. Tb8", "1. Dc4-e6!  Menace 2. Tb8"),
        ("1. Tb8+ ? Fd8\u00a0!", "1. Tb8+?  Fd8!\u00a0"),
        ("\u00e9t\u00e9 1901", "\u00e9t\u00e9 1901"),
        ("is it on e4 or e5?", "is it on e4 or e5?"),
    ],
)
def test_french_print_is_read_as_notation(printed: str, notation: str) -> None:
    """Spaces before such signs: common practice of French typography, no source."""
    assert as_notation(printed) == notation


@pytest.mark.parametrize("sign", [" /", ";"])
def test_a_side_may_stand_before_its_king(sign: str) -> None:
    (diagram,) = find_lists(f"wKd8 Qb7 Pg7 h7{sign} bKh6 Bc2 Sf5 Pg2 g5 h5.")
    assert len(diagram.pieces) == 10
    assert not diagram.faults
