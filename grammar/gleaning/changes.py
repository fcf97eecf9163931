"""What is said to be changed in a position: "take the pawn off h7, and put one on d7; the rest stays".

Men are lifted from squares on which they stand and put on squares on which nobody does. Which of them is meant only the
proof can tell, so all ways to take the words are kept, with their costs.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cache
from itertools import pairwise
from operator import attrgetter

import chess
from msgspec import Struct
from msgspec.structs import replace

from ..lexicon.table import table_of
from ..spans import Span
from . import costs
from .bead import Bead
from .way import WHITE, Ended, Men

_FROM = frozenset(("from", "off", "von", "de", "du", "des", "van", "da", "dal", "dalla"))


class _Change(Struct, frozen=True):
    """One way to take the words so far."""

    men: Men
    cost: int = 0
    side: int | None = None
    man: int = 0  # the kind that was named last
    put: bool = False  # a man of it has been put
    held: int = 0  # the man that was lifted and not put yet
    off: bool = False  # a word for taking men away was said
    left: bool = False  # somebody was lifted
    done: bool = False  # something was changed

    @property
    def over(self) -> int:
        """What it costs that no more is told: who was lifted is gone, who was named stands nowhere."""
        gone = bool(self.held) and not self.off
        stays = self.off and not self.left
        return self.cost + costs.MAN_PASSED * (gone + stays) + self._unput()

    def _unput(self) -> int:
        """Return what it costs that the man named last is put nowhere: little where he stands, and others were put."""
        if not self.man or self.put:
            return 0
        sides = (0, 1) if self.side is None else (self.side,)
        stands = any(man == self.man + WHITE * side for _, man in self.men for side in sides)
        return costs.MENTIONED if stands and self.done else costs.MAN_PASSED


def left_standing(text: str, span: Span, tongue: str) -> Iterator[Span]:
    """Yield where a text says that all other men stay where they are."""
    yield from _said(text, span, tongue, "left standing")


def compared(text: str, span: Span, tongue: str) -> Iterator[Span]:
    """Yield where a text says that a position is another one but for what is told: "exactly as A, with"."""
    yield from _said(text, span, tongue, "compared")


def put_right(text: str, span: Span, tongue: str) -> Iterator[Span]:
    """Yield where a text says that what was told before was wrong: "edit:", "correction:"."""
    yield from _said(text, span, tongue, "put right")


def _said(text: str, span: Span, tongue: str, category: str) -> Iterator[Span]:
    for found in _forms(tongue, category).finditer(text, *span):
        yield Span(*found.span())


@cache
def _forms(tongue: str, category: str) -> re.Pattern[str]:
    forms = sorted(table_of(tongue).apart.get(category, ()), key=len, reverse=True)
    words = "|".join(r"\s+".join(map(re.escape, form.split())) for form in forms)
    return re.compile(rf"(?<!\w)(?:{words or '(?!)'})(?!\w)", re.I)


def changed(string: Sequence[Bead], pieces: Mapping[chess.Square, chess.Piece], tongue: str) -> list[Ended]:
    """Return what beads may make of a position, the cheapest first; nothing where they change nothing."""
    men = frozenset((square, piece.piece_type + WHITE * piece.color) for square, piece in pieces.items())
    away = table_of(tongue).apart.get("taken away", ())
    beam = [_Change(men)]
    for before, bead in pairwise((None, *string)):
        assert bead is not None
        if bead.text in away:
            beam = [replace(way, off=True) for way in beam]
        beam = _cheapest(after for way in beam for after in _taken(way, bead, before))
    best: dict[Men, Ended] = {}
    for way in sorted(beam, key=attrgetter("over")):
        if way.men != men and way.over <= costs.MOST_OF_CHANGE:
            best.setdefault(way.men, Ended(way.over, way.men, len(string), stops=True))
    return list(best.values())


def _cheapest(found: Iterable[_Change]) -> list[_Change]:
    best: dict[_Change, _Change] = {}
    for way in found:
        future = replace(way, cost=0)
        if future not in best or way.cost < best[future].cost:
            best[future] = way
    return sorted(best.values(), key=attrgetter("cost"))[: costs.BEAM]


def _taken(way: _Change, bead: Bead, before: Bead | None) -> Iterator[_Change]:
    match bead.does:
        case "side":
            yield replace(way, side=bead.values[0])
        case "man" if bead.near:
            yield way
        case "man":
            for kind in bead.values:
                yield replace(way, man=kind, put=False)
        case "square" if bead.near:
            yield way
        case "square" | "lifted":
            for square in bead.values:
                stands = dict(way.men).get(square)
                yield from _put(way, square) if stands is None else _left(way, (square, stands), _leaves(bead, before))
        case "plays":
            yield replace(way, cost=way.cost + (1 if bead.text else costs.PLAYS))  # "take the pawn off"
        case "end":
            yield replace(way, side=None)
        case _:
            yield way


def _leaves(bead: Bead, before: Bead | None) -> bool:
    """Tell whether somebody is said to leave a square: "from c2", "not on c2"."""
    return bead.does == "lifted" or (before is not None and before.does == "to" and before.text in _FROM)


def _left(way: _Change, stands: tuple[chess.Square, int], leaves: bool) -> Iterator[_Change]:
    """Yield what a square may be on which a man stands: only spoken of, or he is lifted."""
    yield replace(way, cost=way.cost + (costs.NOT_LIFTED if leaves else 0), man=0, put=False)
    if not way.man or way.put or way.man == stands[1] % WHITE:
        cost = costs.PUT + (0 if leaves else costs.STANDS) + (costs.MAN_PASSED if way.held and not way.off else 0)
        lifted = replace(way, cost=way.cost + cost, men=way.men - {stands}, held=stands[1], man=0, put=False, done=True)
        yield replace(lifted, left=True, off=way.off and not way.held)


def _put(way: _Change, square: chess.Square) -> Iterator[_Change]:
    """Yield what an empty square may be: of nobody, of the man who was lifted, of another."""
    yield replace(way, cost=way.cost + costs.SQUARE_PASSED)
    if way.held and (way.put or way.man in (0, way.held % WHITE)):
        yield replace(
            way, cost=way.cost + costs.PUT, men=way.men | {(square, way.held)}, held=0, man=0, put=False, done=True
        )
    for side in (0, 1) if way.side is None else (way.side,):
        if way.man and not (way.man == chess.PAWN and chess.square_rank(square) in (0, 7)):
            cost = costs.PUT + (costs.SIDE_SUPPOSED if way.side is None else 0)
            yield replace(
                way, cost=way.cost + cost, men=way.men | {(square, way.man + WHITE * side)}, put=True, done=True
            )
