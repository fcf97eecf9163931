"""Positions told in a text that is being written: what stands before and behind a change is not read again.

A text is read from places on which nothing before them bears. Between two of these the same words tell the same
men, so that after a change it is read from the last one above it to the first one below it that it had before, too.
"""

from bisect import bisect_left
from collections.abc import Callable, Iterator
from typing import Protocol

from msgspec import Struct
from msgspec.structs import replace

from .document import Diagram

_MOST = 4  # texts: a file as it stands and without its markup, each before a change and after it


class Telling(Protocol):
    """A text of which the positions are told."""

    @property
    def nothing_yet(self) -> bool:
        """True where nothing of what was read before bears on what comes next."""

    def depends_on(self) -> tuple[object, ...]:
        """Return what the whole text says about how each of its sentences is read."""

    @property
    def mark(self) -> int | None:
        """A place in the text: how sentences are read depends on whether they stand before it. None: there is none."""

    def positions(self, start: int = 0, ends_at: Callable[[int], bool] = ...) -> Iterator[Diagram]:
        """Yield the positions told from `start` on; `ends_at` is asked before each stretch, and may end it."""


class _Known(Struct, frozen=True):
    """A text as it was read: the places it can be read from, and at each how many positions were told before."""

    text: str = ""
    depends_on: tuple[object, ...] = ()
    mark: int | None = None
    places: tuple[int, ...] = ()
    before: tuple[int, ...] = ()
    found: tuple[Diagram, ...] = ()


class Again:
    """Reads texts, and remembers the last ones: a file is read once as it stands, and once without its markup."""

    def __init__(self) -> None:
        self._known: tuple[_Known, ...] = ()

    def read(self, text: str, telling: Telling) -> tuple[Diagram, ...]:
        """Return the positions told in a text, in order."""
        known, change = self._nearest(text, telling)
        kept = max(0, bisect_left(known.places, change.first) - 2)  # where a sentence ends, the next words tell
        start = known.places[kept] if known.places else 0
        places, before = list(known.places[:kept]), list(known.before[:kept])
        found = list(known.found[: known.before[kept]]) if known.places else []
        rest: tuple[Diagram, ...] = ()

        def ends_at(place: int) -> bool:
            nonlocal rest
            if not telling.nothing_yet:
                return False
            there = place - change.by
            index = bisect_left(known.places, there)
            if there < change.last or known.places[index : index + 1] != (there,):
                places.append(place)
                before.append(len(found))
                return False
            more = len(found) - known.before[index]
            places.extend(other + change.by for other in known.places[index:])
            before.extend(count + more for count in known.before[index:])
            rest = tuple(_moved(each, change.by) for each in known.found[known.before[index] :])
            return True

        for each in telling.positions(start, ends_at):
            found.append(each)
        everything = (*found, *rest)
        now = _Known(text, telling.depends_on(), telling.mark, tuple(places), tuple(before), everything)
        self._known = (now, *self._known)[:_MOST]
        return everything

    def _nearest(self, text: str, telling: Telling) -> tuple[_Known, "_Change"]:
        """Return the known text with the shortest change to this one, or an empty one."""
        depends_on, best = telling.depends_on(), (_Known(), _Change(0, 0, 0))
        for known in self._known:
            change = _change(known.text, text)
            if known.depends_on == depends_on and change.moved(known.mark) == telling.mark:
                size = len(known.text) - change.last + change.first
                if size > len(best[0].text) - best[1].last + best[1].first:
                    best = known, change
        return best


class _Change(Struct, frozen=True):
    """A change of whole lines: they begin at `first` in both texts and end at `last` in the one before.

    What stands behind them stands `by` characters further on now.
    """

    first: int
    last: int
    by: int

    def moved(self, place: int | None) -> int | None:
        """Return where a place of the text before is now, None where it was changed or there was none."""
        if place is None or self.first <= place < self.last:
            return None
        return place if place < self.first else place + self.by


def _change(before: str, now: str) -> _Change:
    most = min(len(before), len(now))
    first = _alike(most, lambda size: before.startswith(now[:size]))
    tail = _alike(most - first, lambda size: before.endswith(now[len(now) - size :]))
    begin = before.rfind("\n", 0, first) + 1
    end = before.find("\n", len(before) - tail)
    return _Change(begin, len(before) if end < 0 else end + 1, len(now) - len(before))


def _alike(most: int, alike: Callable[[int], bool]) -> int:
    """Return the greatest size up to `most` for which two texts are alike, which they are for all smaller ones."""
    least = 0
    while least < most:
        middle = (least + most + 1) // 2
        least, most = (middle, most) if alike(middle) else (least, middle - 1)
    return least


def _moved(diagram: Diagram, by: int) -> Diagram:
    if not by:
        return diagram
    return replace(
        diagram,
        span=diagram.span.further_on(by),
        piece_spans={square: span.further_on(by) for square, span in diagram.piece_spans.items()},
        faults=tuple(replace(fault, span=fault.span.further_on(by)) for fault in diagram.faults),
    )
