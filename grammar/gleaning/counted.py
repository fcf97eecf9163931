"""How many men words near a telling count, and how far a position is from that."""

from collections.abc import Iterator, Mapping, Sequence

import chess

from . import costs
from .beads import Bead

_MEN = frozenset(("men", "pieces", "units", "chessmen", "figures", "pegs"))
_ALL = frozenset(("in", "all", "total", "altogether"))
_HAVE = 2  # words between a side and the number of its men: "White has four", "White's four"

Counts = frozenset[tuple[int | None, int]]  # a side, None for both, and its men


def counts(string: Sequence[Bead]) -> Counts:
    """Return the numbers of men that are told in so many words, not of one kind."""
    return frozenset(_counts(string))


def _counts(string: Sequence[Bead]) -> Iterator[tuple[int | None, int]]:
    for place, bead in enumerate(string):
        if bead.does != "number" or not 1 <= bead.values[0] <= 32 or _named(string[place + 1 : place + 2]):
            continue
        (number,) = bead.values
        before = string[place - 1] if place else None
        if before is not None and (before.text == "in" or (before.does == "side" and number == 1)):
            continue  # "another one in two, White has", "your king, the black one"
        behind = string[place + 1] if place + 1 < len(string) else None
        if behind is not None and behind.does == "side":
            if not _named(string[place + 2 : place + 3]):
                yield behind.values[0], number
        elif (side := _side(string[max(0, place - _HAVE - 1) : place])) is not None:
            yield side, number
        elif behind is not None and (behind.text in _MEN or (behind.text in _ALL and number > costs.FEW)):
            yield None, number


def _side(before: Sequence[Bead]) -> int | None:
    """Return the side that has so many: "White has four", "White's four"."""
    for bead in reversed(before):
        if bead.does == "side":
            return bead.values[0]
        if bead.does != "word" or bead.text in (",", "\n"):
            return None
    return None


def _named(behind: Sequence[Bead]) -> bool:
    """Tell whether what is counted is named: men of one kind, a square, a move."""
    return any(each.does in ("man", "square", "rank", "file", "plays", "empty") for each in behind)


def miscounted(pieces: Mapping[chess.Square, chess.Piece], told: Counts) -> int:
    """Return what speaks against a position where men are counted, less what speaks for it."""
    there = {side: sum(piece.color == side for piece in pieces.values()) for side in chess.COLORS}
    cost = 0
    for side, number in told:
        right = number == (len(pieces) if side is None else there[bool(side)])
        cost += costs.COUNT_RIGHT if right else costs.COUNT_WRONG
    return cost


def promoted(pieces: Mapping[chess.Square, chess.Piece]) -> int:
    """Return how many men of a position pawns must have become."""
    more = 0
    for side in chess.COLORS:
        for kind, most in _MOST.items():
            more += max(0, sum(piece == chess.Piece(kind, side) for piece in pieces.values()) - most)
    return more


_MOST = {chess.QUEEN: 1, chess.ROOK: 2, chess.BISHOP: 2, chess.KNIGHT: 2, chess.PAWN: 8}
