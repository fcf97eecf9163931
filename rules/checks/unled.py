"""Whether a printed move says by itself where it is played: by its number, or right behind another move of its line.

A move printed alone among words ("and on b4 it is taken", "...Kd5 is gone") may belong anywhere. That nobody can play
it where it was put says more of the reading than of the author.
"""

from ..case.case import Case
from ..finding import Finding
from ..reading.reading import Mention

_OF_PLACE = frozenset(("illegal-move", "wrong-capture-sign"))
"""Rules that are broken sooner by a move that was put in the wrong place than by an author."""

_BETWEEN = 4  # signs between the moves of a line


def unled(case: Case, finding: Finding, mention: Mention) -> bool:
    """Tell whether a move that cannot be played stands in no line of moves of which one has a number."""
    if finding.rule not in _OF_PLACE or case.reading is None or mention.phrase.worded:
        return False
    told = sorted(case.reading.mentions, key=lambda each: each.phrase.span.start)
    led: Mention | None = mention
    while led is not None and (led.turn.number is None or led.turn.number.value is None):
        start = led.phrase.span.start
        before = [each for each in told if each.phrase.span.end <= start and each is not led]
        led = before[-1] if before and _goes_on(case.masked[before[-1].phrase.span.end : start]) else None
    return led is None


def _goes_on(between: str) -> bool:
    return len(between) <= _BETWEEN and "\n\n" not in between
