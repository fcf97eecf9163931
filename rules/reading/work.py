"""How much a reading may look at: bounds in positions, so that they are the same on every machine.

Every loop of a reading goes over something finite that does not grow while it runs: statements, the half-moves of a
unit, the points a unit may begin at, the legal moves of a position. What can multiply is the number of positions,
where words for sets follow one another ("any other", "the rook moves"), and how often each is looked at again. The
first is bounded for each mention, the second for the whole text.
"""

from __future__ import annotations

MOST_LINES = 1_000
"""Lines of play that one mention may stand for; more would be an answer to sets of sets, which nobody writes."""

_ALWAYS = 200_000
_EACH = 5_000


class RunsAway(Exception):
    """A reading has looked at more positions than it may: what the text says of play is not understood."""


class Work:
    """Counts down the positions that the reading of one text of so many statements may yet look at."""

    def __init__(self, statements: int) -> None:
        self.left = _ALWAYS + _EACH * statements

    def take(self, positions: int) -> None:
        """Count positions that are looked at; raise RunsAway where there are no more left."""
        self.left -= positions
        if self.left < 0:
            raise RunsAway
