"""What is told of tries: who takes back what, and where a try stands that leads to a move nobody can play."""

import pytest
from test_false_mates import HEAD, KEY, errors
from test_walk_print import ROOK, placed

QUEENS = "8/6P1/2N2P1k/8/8/R7/1p4K1/8 w - - 0 1"  # 1.g8=Q threatens 2.Rh3


@pytest.mark.parametrize(("man", "rules"), [("king", []), ("pawn", ["illegal-move"]), ("knight", ["illegal-move"])])
@pytest.mark.parametrize("takes", ["takes back", "recaptures", "retakes"])
def test_who_takes_back(man: str, takes: str, rules: list[str]) -> None:
    """It is said of the man that has just moved, and so of no move from the diagram."""
    assert errors(HEAD + f"First a try. Rook takes d6, and the {man} {takes}.\n{KEY}") == rules


def test_who_would_take_back_if_it_were_no_mate() -> None:
    told = "Wherever the knight on g8 goes, the queen goes to c4, mate. The pawn would take back, but it is far away.\n"
    assert errors(HEAD + KEY + told) == []


@pytest.mark.parametrize("calls", ["Let us try", "I tried", "We might try"])
def test_what_is_called_a_try_is_no_threat(calls: str) -> None:
    told = f"Only the king and the knights can move. {calls} queen to e4. That is quiet, but the king goes to b5.\n"
    assert errors(HEAD + told + KEY) == ["king-into-check"]


def test_the_answer_to_all_replies_told_before() -> None:
    told = "G8 queen. After b1 knight, after b1 rook, after b1 bishop, after whatever, rook h3 mates."
    assert placed(QUEENS, told) >= {"g8=Q b1=N Rh3", "g8=Q b1=R Rh3"}


@pytest.mark.parametrize(("square", "rules"), [("d3", ["key-fails"]), ("g4", [])])
def test_what_is_exclaimed_before_the_lines_of_the_key(square: str, rules: list[str]) -> None:
    """Nobody tells the key that these lines are of, so the move before is meant as one."""
    man = "King" if square == "d3" else "Rook"
    told = (
        f"Got it? {man} to {square}! If the king goes to h6, the rook goes to h4, mate. If the knight goes to f4, the "
        "queen goes to g5, mate. If the pawn goes to h6, the queen goes to g6, mate.\n"
    )
    assert errors(f"FEN: {ROOK}\nMate in two.\n\nWhat would you play? Think a little. {told}") == rules


@pytest.mark.parametrize(
    "words",
    [
        "A rook there would not do, since the king escapes to h7.",
        "A rook won't do: but then the king walks out to h7.",
        "1.g8=R won't do because of 1...Kh7. A knight founders on the same step.",
    ],
)
def test_what_refutes_the_promotion_to_another_man(words: str) -> None:
    man = "N" if "knight" in words else "R"
    assert f"g8={man} Kh7" in placed(QUEENS, f"The pawn becomes a queen on g8. {words}")
