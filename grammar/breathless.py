"""Speech written down without signs, as captions have it: each of its lines is a sentence."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from .lexicon.lexemes import Lexeme

_SIGNS = frozenset(("stop", "question", "semicolon", "comma", "colon"))
_STOPS = ("stop", "question")
_GOES_ON = ("word", "unknown", "square", "comma", "close")  # but not a printed move: lines of play end so
_WANTS = frozenset(("article", "of", "our", "your", "own"))
_SELDOM = 5  # of so many lines fewer than one ends with a stop
_FEW = 3  # lines of which nothing can be said
_FULL = 0.8  # of the longest line, from which on a line may have been ended by its length


def line_by_line(given: Sequence[Lexeme]) -> bool:
    """Tell whether a text has hardly a sign of punctuation, so that each of its lines is a sentence."""
    lines = [each.kind for each in given].count("line")
    if lines <= _FEW:
        return False
    signs = [at for at, each in enumerate(given) if each.kind in _SIGNS and not _of_time(given, at)]
    return (4 * len(signs) < lines or _ended_by_lines(given)) and not _wrapped(given)


def _ended_by_lines(given: Sequence[Lexeme]) -> bool:
    """Tell whether hardly a line ends with a stop, and most stops that there are stand for want of a line's end."""
    ends = [at for at, each in enumerate(given) if at and each.kind == "line" and given[at - 1].kind != "line"]
    stopped = sum(given[at - 1].kind not in _GOES_ON for at in ends)
    if any(given[at - 1].categories & _WANTS or given[at - 1].sense("link") == "and" for at in ends):
        return False  # prose is wrapped: "the rook shuts off the queen and / discovers check"
    inside = sum(each.kind in _STOPS for each in given) - sum(given[at - 1].kind in _STOPS for at in ends)
    return _SELDOM * stopped < len(ends) and inside < len(ends)


def _of_time(given: Sequence[Lexeme], place: int) -> bool:
    """Tell whether a colon stands between the figures of a time: "[00:01:36] so the thing is"."""
    around = given[max(0, place - 1) : place + 2]
    return given[place].kind == "colon" and len(around) > 2 and all(each.text.isdecimal() for each in around[::2])


def _wrapped(given: Sequence[Lexeme]) -> bool:
    """Tell whether lines end where they are full: but for the last ones of paragraphs they are about as long."""
    ends = [index for index, each in enumerate(given) if each.kind == "line" and index + 1 < len(given)]
    lengths = [
        given[end].span.start - given[before].span.end
        for before, end in pairwise(ends)
        if given[end + 1].kind != "line" and end - before > 1
    ]
    return len(lengths) >= _FEW and min(lengths) >= _FULL * max(lengths)
