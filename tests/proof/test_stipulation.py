"""Symbols of stipulations (WFCC Codex, Art. 2: customary symbols such as #2 and h#3)."""

import chess
import pytest
from keyproof.rules.board.stipulation import Stipulation


@pytest.mark.parametrize("symbol", ["#1", "#2", "s#3", "r#2", "=4", "h#2", "h#2.5", "h=3", "h=1.5", "h#0.5", "#50"])
def test_symbols_are_read_and_written_alike(symbol: str) -> None:
    assert Stipulation.parse(f" {symbol} ").symbol == symbol
    assert str(Stipulation.parse(symbol)) == symbol


@pytest.mark.parametrize(
    ("symbol", "reason"),
    [
        ("", "not a stipulation"),
        ("2#", "not a stipulation"),
        ("#", "not a stipulation"),
        ("#2.5", "half a move"),
        ("s#1.5", "half a move"),
        ("#0", "1 to 50"),
        ("h#0", "1 to 50"),
        ("#51", "1 to 50"),
        ("x#2", "not a stipulation"),
    ],
)
def test_other_symbols_are_refused_with_a_reason(symbol: str, reason: str) -> None:
    with pytest.raises(ValueError, match=reason):
        Stipulation.parse(symbol)


# White begins in direct, self and reflex play, Black in help play (Codex, Art. 15, from memory); in h#2.5 White does.
@pytest.mark.parametrize(
    ("symbol", "first", "plies"),
    [
        ("#2", chess.WHITE, 3),
        ("s#2", chess.WHITE, 4),
        ("=2", chess.WHITE, 3),
        ("h#2", chess.BLACK, 4),
        ("h#2.5", chess.WHITE, 5),
    ],
)
def test_who_begins_and_how_long_it_takes(symbol: str, first: chess.Color, plies: int) -> None:
    stipulation = Stipulation.parse(symbol)
    assert stipulation.first_to_move == first
    assert stipulation.plies == plies
