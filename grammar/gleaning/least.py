"""What beads can tell at the least cost: a bound that costs next to nothing, for stretches that are full of play.

Among the moves of a solution men and squares stand as thickly as in a position, and the ways to put them together are
many. But words of play stand between them, and each costs once a man has been put somewhere.
"""

from collections.abc import Iterable, Sequence

from . import costs
from .bead import Bead

_PUTS = frozenset(("square", "file", "rank", "home"))
_NEVER = 1 << 20
_CHEAPENS = frozenset(("number", "not"))  # a count that is right, and men that are said not to stand there


def tells_for(string: Sequence[Bead], start: int, most: int) -> bool:
    """Tell whether the beads from a place on may tell a position for `most`, its men counted half."""
    if _CHEAPENS & {bead.does for bead in string}:
        return True
    return _least(string[start : start + costs.MOST_BEADS]) <= most


def _least(string: Iterable[Bead]) -> int:
    """Return the least that men put by these beads cost, each of them counted half.

    Until a man is put, one that is named and gets no square costs, and squares wait for nothing; then play costs.
    """
    gain = costs.PUT - costs.PUT // 2
    waiting, put, least = 0, _NEVER, _NEVER  # no man has been put yet, and some have
    named = False
    for bead in string:
        if bead.does in _PUTS:
            if named and put > waiting - costs.MAN_PASSED:
                put = waiting - costs.MAN_PASSED
            waiting, put = waiting + gain, put + gain
        elif bead.does == "man":
            if put > waiting:
                put = waiting
            waiting, named = waiting + costs.MAN_PASSED, True
        elif bead.does == "plays":
            put += costs.PLAYS
        if put < least:
            least = put
    return least
