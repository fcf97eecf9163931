"""What stands right behind a first move is told of it, be it true or not, and what a sentence calls a move it is."""

import pytest
from test_false_mates import errors
from test_walk_print import BISHOPS, placed

HEAD = "FEN: 8/3pPP2/1P6/3k1K2/5Q2/8/4B3/8 w - - 0 1\nMate in two.\n\n"  # 1.Qc7; 1.Qb4 fails to Kc6 alone
STALE = "6K1/5P2/4k3/4N3/3Q4/8/8/8 w - - 0 1"  # 1.f8=R Ke7 2.Qd7
LINES = "If the pawn goes to d6, queen to c4 is mate."


@pytest.mark.parametrize(("reply", "rules"), [("d6", ["refutation-fails"]), ("Kc6", [])])
@pytest.mark.parametrize(
    "words",
    [
        "It is tempting to play 1.Qb4, but after 1...{} there is no mate next move.",
        "Why not 1.Qb4? After 1...{} White is left without a mate.",
        "1.Qb4 fails to 1...{}.",
    ],
)
def test_what_refutes_a_try_that_is_proposed(words: str, reply: str, rules: list[str]) -> None:
    """It is told of no other first move, though nothing asserts that this one is played."""
    assert errors(f"{HEAD}{words.format(reply)}\nThe key is 1.Qc7!\n") == rules


@pytest.mark.parametrize(("to", "rules"), [("pawn to d6", ["refutation-fails"]), ("king to c6", [])])
def test_a_refutation_told_behind_a_question(to: str, rules: list[str]) -> None:
    """No answer is asked about where a line has ended with mate."""
    told = "The key is queen to c7. " + LINES
    assert errors(f"{HEAD}{told} What about queen to b4? No, because {to} refutes it.\n") == rules


@pytest.mark.parametrize("words", ["White wins with queen to {}.", "The answer is queen to {}."])
@pytest.mark.parametrize(("square", "rules"), [("b4", ["key-fails"]), ("c7", [])])
def test_what_opens_a_text_is_the_key(words: str, square: str, rules: list[str]) -> None:
    assert (
        errors(f"{HEAD}{words.format(square)} On d6 there is a mate, and on anything else there is another.\n") == rules
    )


def test_a_first_move_that_is_said_to_fail_and_solves() -> None:
    assert errors(f"{HEAD}1.Qb4 fails to 1...Kc6. Likewise 1.Qc7 fails to 1...d6.\n")[:1] == ["try-solves"]


@pytest.mark.parametrize(("number", "rules"), [("3.", ["wrong-move-number"]), ("2.", [])])
def test_a_number_that_is_a_slip(number: str, rules: list[str]) -> None:
    """Words that lead from a reply to its answer bind them as well as if nothing stood between them."""
    assert errors(f"{HEAD}1.Qc7!\nIf 1...d6 then {number}Qc4 mate.\n") == rules


KEY_TOLD = "The key is king to g2. If king h4, rook to e4 is mate. "
HOLDS = "8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1"  # 1.Kg2


@pytest.mark.parametrize(
    ("words", "first"),
    [
        ("If the knight goes to g5, nothing is lost.", False),
        ("If the knight goes to g5 at once, the king comes to f4.", True),
        ("If we try the knight to g5, the king comes to f4.", True),
    ],
)
def test_if_alone_leads_to_no_other_first_move_once_the_key_is_told(words: str, first: bool) -> None:
    assert ("Ng5" in placed(HOLDS, KEY_TOLD + words)) is first


@pytest.mark.parametrize(
    ("words", "rules"),
    [
        ("If the white knight goes to g5 then 2.Re4 is mate.", ["wrong-side"]),
        ("If the white rook goes to e4, the black king escapes to h3.", []),
    ],
)
def test_a_reply_of_the_other_side(words: str, rules: list[str]) -> None:
    assert errors(f"FEN: {HOLDS}\nMate in two.\n\n1.Kg2! {words}\n") == rules


FLED = "The key is 1.Qc7! 1.Qc1? fails to 1...Kd4 and 1...Kd6. "  # after 1.Qb4 the queen guards d4


@pytest.mark.parametrize(("to", "rules"), [("Kd4", ["king-into-check"]), ("Kc6", [])])
@pytest.mark.parametrize(
    "words",
    [
        "1.Qb4? holds the rank, and here 1...{}! is again the refutation.",
        "1.Qb4 is no key, for he goes {}.",
        "1.Qb4 isn't the key because of {}.",
        "1.Qb4 will not do on account of {}.",
    ],
)
def test_words_that_lead_from_a_try_to_a_reply(words: str, to: str, rules: list[str]) -> None:
    """A reply that could refute another try is none of that, in print as little as in words."""
    assert errors(f"{HEAD}{FLED}{words.format(to)}\n") == rules


@pytest.mark.parametrize(("to", "rules"), [("d four", ["king-into-check"]), ("c six", [])])
@pytest.mark.parametrize(
    "words",
    ["And queen b four, you'd love that, but no, it's king {} again.", "Queen b four, but king {} and I'm sunk."],
)
def test_the_square_he_went_to_before_is_where_he_goes(words: str, to: str, rules: list[str]) -> None:
    """Behind "but" a man and a square where he stands in another line are no description of him."""
    told = "The key is queen to c seven. Queen c one is met by king d four. "
    assert errors(f"{HEAD}{told}{words.format(to)}\n") == rules


def test_no_reply_is_told_of_what_is_called_stalemate() -> None:
    told = placed(
        STALE, "1.f8=Q is stalemate. The rook leaves him one square, he must go there: 1...Ke7 2.Qd7 is mate."
    )
    assert "f8=R Ke7 Qd7" in told


@pytest.mark.parametrize(
    "words",
    [
        "1.Qe5+ is beaten by 1...Kc6! alone; the same move beats 1.Qb4.",
        "1.Qe5+? Kc6! That move also defeats 1.Qb4 and 1.e8=N.",
        "1.Qe5+? Kc6! This step is the one and only answer to 1.Qb4.",
        "There are two more, 1.Qb4 and 1.e8=N; the reply to each is 1...Kc6!",
    ],
)
def test_one_reply_beats_several_first_moves(words: str) -> None:
    assert "Qb4 Kc6" in placed(BISHOPS, "1.Qc7! " + words)


@pytest.mark.parametrize(("to", "rules"), [("Kd4", ["king-into-check"]), ("Kc6", [])])
@pytest.mark.parametrize(
    "words",
    [
        "1.Qe5+ fails to Kc6, 1.e8=N to Kc6, and 1.Qb4 to {}.",
        "1.Qe5+ is met by Kc6; and 1.Qb4, by {}.",
        "1.Qb4, taking all the squares, dies to 1...{}.",
    ],
)
def test_a_verb_told_once_for_several_tries(words: str, to: str, rules: list[str]) -> None:
    assert errors(f"{HEAD}{FLED}{words.format(to)}\n") == rules
