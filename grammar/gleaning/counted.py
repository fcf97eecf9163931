"""How many men words near a telling count, and how far a position is from that."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import dropwhile

import chess
from msgspec import Struct

from . import costs
from .bead import Bead

_MEN = frozenset(("men", "pieces", "units", "chessmen", "figures", "pegs"))
_ALL = frozenset(("in", "all", "total", "altogether"))
_AGAINST = frozenset(
    ("against", "versus", "v", "vs", "on", "to", "and", "+", "gegen", "zu", "contre", "contra", "tegen")
)
_OWNERS = {"own": chess.WHITE, "other": chess.BLACK}  # "seven of ours, six of theirs"
_EACH = frozenset(("each", "apiece", "chacun", "cada"))
_HAVE = 2  # words between a side and the number of its men: "White has four", "White's four"


class Count(Struct, frozen=True):
    """Numbers of men: of one side, of both together (None), or of the sides against each other, in either order."""

    numbers: tuple[int, ...]
    side: int | None = None

    def is_right(self, men: Mapping[bool, int]) -> bool:
        """Tell whether so many men stand there."""
        if len(self.numbers) > 1:
            return sorted(self.numbers) == sorted(men.values())
        return self.numbers[0] == (sum(men.values()) if self.side is None else men[bool(self.side)])


def counts(string: Sequence[Bead]) -> frozenset[Count]:
    """Return the numbers of men that are told in so many words, not of one kind."""
    return frozenset(_counts(string))


def _counts(string: Sequence[Bead]) -> Iterator[Count]:
    for place, bead in enumerate(string):
        if bead.does != "number" or not 1 <= bead.values[0] <= 32 or _named(string[place + 1 : place + 2]):
            continue
        (number,) = bead.values
        before = string[place - 1] if place else None
        if before is not None and (before.text == "in" or (before.does == "side" and number == 1)):
            continue  # "another one in two, White has", "your king, the black one"
        behind = string[place + 1 : place + 4]
        follows = behind[0] if behind else None
        whose = next(dropwhile(_is_of, behind), None)
        if follows is not None and follows.does == "side":
            if not _named(behind[1:2]):
                yield Count((number,), follows.values[0])
        elif whose is not None and whose.does in _OWNERS and whose is not follows:
            yield Count((number,), _OWNERS[whose.does])
        elif (side := _side(string[max(0, place - _HAVE - 1) : place])) is not None:
            yield Count((number,), side)
        elif follows is not None and follows.text in _EACH:
            yield Count((number, number))
        elif follows is not None and follows.text in _AGAINST and _counts_too(behind[1:]):
            yield Count((number, behind[1].values[0]))
        elif follows is not None and (follows.text in _MEN or (follows.text in _ALL and number > costs.FEW)):
            yield Count((number,))


def _is_of(bead: Bead) -> bool:
    return bead.text in ("of", "for", "men", "pieces")


def _counts_too(behind: Sequence[Bead]) -> bool:
    """Tell whether another number follows, of which no kind of man is named: "nine against five"."""
    return bool(behind) and behind[0].does == "number" and not _named(behind[1:2])


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


def miscounted(pieces: Mapping[chess.Square, chess.Piece], told: frozenset[Count]) -> int:
    """Return what speaks against a position where men are counted, less what speaks for it."""
    men = {side: sum(piece.color == side for piece in pieces.values()) for side in chess.COLORS}
    return sum(costs.COUNT_RIGHT if each.is_right(men) else costs.COUNT_WRONG for each in told)


def promoted(pieces: Mapping[chess.Square, chess.Piece]) -> int:
    """Return how many men of a position pawns must have become."""
    more = 0
    for side in chess.COLORS:
        for kind, most in _MOST.items():
            more += max(0, sum(piece == chess.Piece(kind, side) for piece in pieces.values()) - most)
    return more


_MOST = {chess.QUEEN: 1, chess.ROOK: 2, chess.BISHOP: 2, chess.KNIGHT: 2, chess.PAWN: 8}
