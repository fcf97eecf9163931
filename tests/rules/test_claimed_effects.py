"""What a text says of a move (check, mate, stalemate) against python-chess.

A true claim adds no finding, a false one exactly its own. Random positions bring findings
of their own (men that cannot stand so); those are the findings of the same text without the
claim.
"""

from collections import Counter

import chess
import pytest
from checking import rules_found
from hypothesis import given
from hypothesis import strategies as st
from keyproof.grammar.moves import Effect
from keyproof.rules.play.node import Node
from keyproof.rules.reading.reading import effect_holds
from strategies import after, moves

MATE = ("#", "‡", "# !", " mate", " is mate", " is checkmate", ", mate", " and mate", " mates")
CHECK = ("+", "†", " check", " is check", ", check", " gives check", " checks")
OTHERS = {
    " double check": "double",
    " dbl ch": "double",
    " is double check": "double",
    "++": "double plus",
    " discovered check": "discovered",
    " stalemate": "stalemate",
    " is stalemate": "stalemate",
    " is not mate": "not mate",
    ", not mate": "not mate",
    " gives no check": "not check",
}
CLAIMS = dict.fromkeys(MATE, "mate") | dict.fromkeys(CHECK, "check") | OTHERS

Position = tuple[chess.Board, chess.Move]


def false_claim(claim: str, end: chess.Board, move: chess.Move) -> str | None:
    """Name the rule that a claim breaks, None if it is true (Laws 1.4.1, 3.9.1, 5.2.1)."""
    mate, check, stalemate = end.is_checkmate(), end.is_check(), end.is_stalemate()
    checkers = end.checkers()
    if claim == "mate" and not mate:
        return "check-not-mate" if check else "stalemate-not-mate" if stalemate else "mate-without-check"
    if claim == "check":
        return "no-check" if not check else "mate-marked-check" if mate else None
    broken = {
        "double": ("not-double-check", len(checkers) < 2),
        "double plus": ("not-double-check", len(checkers) < 2 and not mate),
        "discovered": ("not-discovered-check", not checkers - chess.SquareSet([move.to_square])),
        "stalemate": ("not-stalemate", not stalemate),
        "not mate": ("mate-denied", mate),
        "not check": ("mate-denied", check),
        "mate": ("", False),
    }
    name, false = broken[claim]
    return name if false else None


@given(
    moves(kinds=("any", "capture", "promotion", "check", "mate", "stalemate", "double check", "discovered check")),
    st.sampled_from(sorted(CLAIMS)),
)
def test_a_claim_is_reported_if_and_only_if_it_is_false(position: Position, words: str) -> None:
    board, move = position
    number = "1." if board.turn == chess.WHITE else "1..."
    line = f"FEN: {board.fen()}\n{number}{board.san(move).rstrip('+#')}"
    expected = false_claim(CLAIMS[words], after(board, move), move)
    added = Counter(rules_found(line + words)) - Counter(rules_found(line))
    assert added == ({expected: 1} if expected else {}), (line + words, added)


@given(moves())
def test_effects_hold_as_python_chess_has_them(position: Position) -> None:
    board, move = position
    node = Node(board.copy(stack=False)).play(move)
    end = after(board, move)
    holds = {effect for effect in Effect if effect_holds(effect, node)}
    assert (Effect.check in holds) == end.is_check()
    assert (Effect.mate in holds) == end.is_checkmate()
    assert (Effect.stalemate in holds) == end.is_stalemate()
    assert (Effect.not_mate in holds) == (not end.is_checkmate())
    assert (Effect.not_check in holds) == (not end.is_check())
    assert (Effect.double_check in holds) == (len(end.checkers()) >= 2)
    assert (Effect.double_plus in holds) == (end.is_checkmate() or len(end.checkers()) >= 2)
    assert Effect.denied not in holds


@pytest.mark.parametrize("kind", ["check", "mate", "stalemate", "double check", "discovered check"])
def test_the_strategy_finds_every_kind(kind: str) -> None:
    """The tests above would prove little if such moves never came up."""
    seen = []

    @given(moves(kinds=(kind,)))
    def look(position: Position) -> None:
        end = after(*position)
        seen.append(
            {
                "check": end.is_check(),
                "mate": end.is_checkmate(),
                "stalemate": end.is_stalemate(),
                "double check": len(end.checkers()) > 1,
                "discovered check": any(square != position[1].to_square for square in end.checkers()),
            }[kind]
        )

    look()
    assert sum(seen) >= 4
