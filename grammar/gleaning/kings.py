"""Whether two kings may be named without too much play between them: else a stretch tells no position.

That is asked of the signs alone, before its words are cut, which costs ten times as much.
"""

import re
from bisect import bisect
from collections.abc import Iterator, Sequence
from functools import cache
from itertools import pairwise

import chess

from ..lexicon.table import table_of
from ..roster import NAMES
from ..spans import Span
from . import costs
from .bead import Bead

BOTH_KINGS = frozenset(
    ("kings", "monarchs", "könige", "königen", "rois", "reyes", "koningen", "reis", "kungar", "kungarna")
)
"""Words of several languages for two kings at once."""
_WORD = re.compile(r"[^\W\d_]+")
WHOSE_KING = ("his", "hers", "theirs", "mine", "ours", "yours")
KING_STANDS = ("is", "stands", "sits", "lives", "waits")
"""Words that stand for the second king: "our king's on d4, and his is on a4"."""
_ONE = re.compile(rf"\b(?:(?:white|black)\s+one|(?:{'|'.join(WHOSE_KING)})\s+(?:{'|'.join(KING_STANDS)}))\b", re.I)


def may_name_kings(text: str, span: Span, signs: Sequence[Bead], tongue: str) -> bool:
    """Tell whether a stretch whose `signs` are given may name two kings before it tells too much play."""
    kings = {bead.span.start for bead in signs if bead.does == "man" and chess.KING in bead.values}
    plays = [bead.span.start for bead in signs if bead.does == "plays"]
    for found, word in _named(text, span, tongue):
        if word in BOTH_KINGS:
            return True
        kings.add(found)
    near = pairwise(sorted(kings))
    return any(bisect(plays, after) - bisect(plays, king) <= costs.MOST_PLAY for king, after in near)


def _named(text: str, span: Span, tongue: str) -> Iterator[tuple[int, str]]:
    """Yield words for a king, and letters that may be read as words, each behind its place."""
    names, stems = _names(tongue)
    for found in _WORD.finditer(text, *span):
        word = found[0].lower()
        if word in names or word.startswith(stems):
            yield found.start(), word
    for one in _ONE.finditer(text, *span):
        yield one.start(), "one"


@cache
def _names(tongue: str) -> tuple[frozenset[str], tuple[str, ...]]:
    """Return the words with which names of the king end, and those with which compounds of him begin."""
    table = table_of(tongue)
    named = {name for name, kind in NAMES.items() if kind == chess.KING}
    stems = tuple(stem for stem, man in table.stems.items() if man == "king")
    return frozenset((*named, *table.kings, "k")), stems
