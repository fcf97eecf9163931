"""Which of two readings of a text explains it: the one that places clearly more of it truly."""

from __future__ import annotations

from collections.abc import Iterable

import chess
from keyproof.grammar.moves import Effect
from keyproof.grammar.spans import Span

from .reading import Mention, Reading, State, effect_holds

_BESIDE = 4  # signs between a move and the words that call it mate: " is "
_MORE = 0.12  # of what the literal reading places; so much more the walk must place to be the better explanation


def true_mentions(reading: Reading) -> int:
    """Count the moves of a text that a reading places for sure where all that is said of them is so."""
    return sum(_true(mention) and not _in(mention, reading.open) for mention in reading.mentions)


def faultless(reading: Reading) -> bool:
    """Tell whether a reading places all it found, and finds nothing false."""
    return not reading.not_understood and all(map(_true, reading.mentions))


def better(literal: Reading, walk: Reading) -> Reading:
    """Return the better explanation; the literal reading where neither clearly is."""
    before, after = true_mentions(literal), true_mentions(walk)
    false_before, false_after = _false(literal), _false(walk)
    if after > before * (1 + _MORE) + 1 and false_after <= false_before + 1:
        return walk
    return with_what_is_said(literal, walk)


def with_what_is_said(literal: Reading, walk: Reading) -> Reading:
    """Add to the moves of the literal reading what only the walk has found to be said of them, where both agree.

    "1.c8=Q is checkmate on the spot": the phrases of the literal reading end before the words that call it mate.
    """
    found = {mention.phrase.span: mention for mention in walk.mentions if not _in(mention, walk.open)}
    for mention in literal.mentions:
        other = found.get(mention.phrase.span)
        if other is not None and _lines(other) == _lines(mention):
            known = {effect for effect, _ in mention.effects}
            end = mention.phrase.span.end
            mention.effects += tuple(
                (effect, span)
                for effect, span in other.effects
                if effect is Effect.mate and effect not in known and 0 <= span.start - end <= _BESIDE
            )
    return literal


def _lines(mention: Mention) -> list[list[chess.Move]]:
    return [node.moves for node in mention.after]


def _in(mention: Mention, spans: Iterable[Span]) -> bool:
    return any(span.start <= mention.phrase.span.start < span.end for span in spans)


def _true(mention: Mention) -> bool:
    if mention.state is not State.read or mention.misnumbered:
        return False
    return all(effect_holds(effect, node) for effect, _ in mention.effects for node in mention.after)


def _false(reading: Reading) -> int:
    return len(reading.not_understood) + sum(not _true(mention) for mention in reading.mentions)
