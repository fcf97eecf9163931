"""What a man does from a square told before he is named: "from c7 it guards d7", "on e5 the knight blocks the file".

Where he does not stand there, he has gone there.
"""

from __future__ import annotations

from collections.abc import Sequence

from keyproof.grammar.cues import Stance
from keyproof.grammar.lexicon.lexemes import Lexeme
from keyproof.grammar.spans import Span
from msgspec.structs import replace

from .drafts import finished
from .men import man_at
from .values import Draft, Move, Who

_WHERE = frozenset({"stands", "from"})
_DOES = frozenset({"guard", "block", "pin", "open"})
_IDLE = frozenset({"filler", "harmless", "mark"})
_OPENS = ("comma", "dash", "colon", "semicolon", "open")


def vantage(text: str, given: Sequence[Lexeme], index: int, topic: Who | None) -> Move | None:
    """Return the move of a man who does something from the square at `index`, where nothing else leads to it.

    `topic` is the man a pronoun may mean, that the sentence before has named.
    """
    if index == 0 or not given[index - 1].categories & _WHERE or not _opens(given[: index - 1]):
        return None
    place = index + 1
    place += place < len(given) and given[place].kind == "comma"
    found = man_at(given, place)
    if found is None or not _acts(given[found[1] :]):
        return None
    named = topic if found[0].nameless and found[0].pronoun in ("it", "she") else found[0]
    if named is None or not named.kinds or named.plural or named.square is not None or named.indefinite:
        return None
    start = given[index - 1].span.start
    who = replace(named, square=given[index].square, span=Span(start, given[found[1] - 1].span.end))
    told = finished(Draft(start, who.span.end, who=who, verb="stand", stance=Stance.asserted, lands=True), text, ())
    ways = tuple(way for way in told.ways if all(phrase.destination is not None for phrase in way.choices))
    return replace(told, ways=ways, posed=True)


def _opens(before: Sequence[Lexeme]) -> bool:
    """Tell whether a clause begins behind some words."""
    words = [each for each in before if not each.categories & _IDLE]
    return not words or words[-1].kind in _OPENS or words[-1].sense("link") in ("and", "but", "because")


def _acts(behind: Sequence[Lexeme]) -> bool:
    """Tell whether what comes first, but for small words, is what a man does to squares and lines."""
    act = next((each for each in behind if not each.categories & _IDLE), None)
    return act is not None and bool(act.categories & _DOES)
