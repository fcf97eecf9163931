"""What beads can tell at the least cost: a bound that costs next to nothing, for stretches that are full of play.

Among the moves of a solution men and squares stand as thickly as in a position, and the ways to put them together are
many. But words of play stand between them, and each costs once a man has been put somewhere.
"""

from collections.abc import Iterable, Sequence

from . import costs
from .bead import Bead
from .way import Ended, Way

_HALF = -costs.PUT // 2  # what a man counts less between tellings than within one
_GAIN = costs.PUT + _HALF  # of a man put, counted half
_PUTS = frozenset(("square", "file", "rank", "home"))
_NEVER = 1 << 20
_CHEAPENS = frozenset(("number", "not"))  # a count that is right, and men that are said not to stand there
_LIFTS = frozenset(("takes back", "lifted"))  # who put a man there gets back what that cost


def tells_for(string: Sequence[Bead], start: int, most: int) -> bool:
    """Tell whether the beads from a place on may tell a position for `most`, its men counted half."""
    if _CHEAPENS & {bead.does for bead in string}:
        return True
    return _least(string[start : start + costs.MOST_BEADS]) <= most


def _least(string: Iterable[Bead]) -> int:
    """Return the least that men put by these beads cost, each of them counted half.

    Until a man is put, one that is named and gets no square costs, and squares wait for nothing; then play costs.
    """
    waiting, put, least = 0, _NEVER, _NEVER  # no man has been put yet, and some have
    named = False
    for bead in string:
        if bead.does in _PUTS:
            if named and put > waiting - costs.MAN_PASSED:
                put = waiting - costs.MAN_PASSED
            waiting, put = waiting + _GAIN, put + _GAIN
        elif bead.does == "man":
            if put > waiting:
                put = waiting
            waiting, named = waiting + costs.MAN_PASSED, True
        elif bead.does == "plays":
            put += costs.PLAYS
        if put < least:
            least = put
    return least


class Rest:
    """What is still to come of a telling, at the least, as one bead after the other is taken."""

    def __init__(self, string: Sequence[Bead], start: int, most: int) -> None:
        """Look at the beads from `start` on; what is asked is whether they tell a position for `most`."""
        told = string[start : start + costs.MOST_BEADS]
        does = {bead.does for bead in told}
        self._lifts = not does.isdisjoint(_LIFTS)
        self._most = most - costs.COUNT_RIGHT * len([0 for bead in string[start:] if bead.does == "number"])
        by_files = "file" in does  # then a number may name a square
        put = unput = 0  # where men stand, so that play costs, and where none does yet
        self._behind = [(0, 0)]
        for bead in reversed(told):
            puts = bead.does in _PUTS or (by_files and bead.does in ("number", "plays"))
            here = _GAIN if puts else costs.PLAYS if bead.does == "plays" else 0
            put, unput = min(0, put + here), min(unput, put) + (_GAIN if puts else 0)
            self._behind.append((put, unput))
        self._behind.reverse()

    def tells(self, beam: Iterable[Way], taken: int) -> bool:
        """Tell whether one of these ways, with so many beads taken, may come to tell a position cheap enough."""
        if self._lifts:
            return True
        put, unput = self._behind[taken]
        for way in beam:
            least = way.cost + (put if way.men else unput) + (_GAIN * len(way.squares) if way.squares else 0)
            if least <= self._most and least + _HALF * len(way.men) <= self._most:
                return True
        return False

    def is_told(self, ended: Ended) -> bool:
        """Tell whether a telling that is over is cheap enough, as far as the men it counts can make it so."""
        return ended.rank <= self._most
