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
from .values import Draft, Move, Way, Who

_WHERE = frozenset({"stands", "from"})
_DOES = frozenset({"guard", "block", "pin", "open"})
_IDLE = frozenset({"filler", "harmless", "mark"})
_OPENS = ("comma", "dash", "colon", "semicolon", "open", "line", "quote")


def vantage(
    text: str, given: Sequence[Lexeme], index: int, topic: Who | None, *, again: bool
) -> tuple[Move, int] | None:
    """Return the move of a man who does something from the square at `index`, where nothing else leads to it.

    With it the place behind it, or behind the last of several: "on d5 and on g2 the knight guards f4". `topic` is the
    man a pronoun may mean, that the sentence before has named; `again`, he of whom this one has told it: "and from g2
    too".
    """
    if index == 0 or not given[index - 1].categories & _WHERE or not _opens(given[: index - 1]):
        return None
    squares = _squares(given, index)
    place = squares[-1] + 1
    place += place < len(given) and given[place].kind == "comma"
    found = man_at(given, place)
    if again:
        if topic is None or place >= len(given) or not _also(given[place]):
            return None
        named: Who | None = replace(topic, square=None)
        end = place
    elif found is not None and _acts(given[found[1] :]):
        named = topic if found[0].nameless and found[0].pronoun in ("it", "she", "he") else found[0]
        end = found[1] - 1
    else:
        return None
    if named is None or not named.kinds or named.plural or named.square is not None or named.indefinite:
        return None
    start = given[index - 1].span.start
    who = replace(named, square=given[index].square, span=Span(start, given[end].span.end))
    told = finished(Draft(start, who.span.end, who=who, verb="stand", stance=Stance.asserted, lands=True), text, ())
    ways = tuple(
        Way(tuple(replace(way.choices[0], destination=given[at].square) for at in squares), way.cost)
        for way in told.ways
        if all(phrase.destination is not None for phrase in way.choices)
    )
    return replace(told, ways=ways, posed=True), squares[-1] + 1


def _squares(given: Sequence[Lexeme], index: int) -> list[int]:
    """Return the places of the squares of a list that begins at `index`: "on d5, c3 and on g2"."""
    found = [index]
    for at in range(index + 1, len(given)):
        each = given[at]
        if each.kind == "square":
            found.append(at)
        elif not (each.kind == "comma" or each.sense("link") in ("and", "or") or each.categories & _WHERE):
            break
    return found


def _opens(before: Sequence[Lexeme]) -> bool:
    """Tell whether a clause begins behind some words."""
    words = [each for each in before if not each.categories & _IDLE]
    return not words or words[-1].kind in _OPENS or words[-1].sense("link") in ("and", "but", "because")


def _acts(behind: Sequence[Lexeme]) -> bool:
    """Tell whether what comes first, but for small words, is what a man does to squares and lines."""
    act = next((each for each in behind if not each.categories & _IDLE), None)
    return act is not None and bool(act.categories & _DOES)


def _also(word: Lexeme) -> bool:
    return word.sense("mark") == "again" or "filler" in word.categories
