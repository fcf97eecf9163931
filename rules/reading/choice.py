"""Which of two readings of a text explains it: the one that places clearly more of it truly."""

from __future__ import annotations

from .reading import Mention, Reading, State, effect_holds

_MORE = 0.12  # of what the literal reading places; so much more the walk must place to be the better explanation


def true_mentions(reading: Reading) -> int:
    """Count the moves of a text that a reading places where all that is said of them is so."""
    return sum(_true(mention) for mention in reading.mentions)


def faultless(reading: Reading) -> bool:
    """Tell whether a reading places all it found, and finds nothing false."""
    return not reading.not_understood and all(map(_true, reading.mentions))


def better(literal: Reading, walk: Reading) -> Reading:
    """Return the better explanation; the literal reading where neither clearly is."""
    before, after = true_mentions(literal), true_mentions(walk)
    false_before, false_after = _false(literal), _false(walk)
    if after > before * (1 + _MORE) + 1 and false_after <= false_before + 1:
        return walk
    return literal


def _true(mention: Mention) -> bool:
    if mention.state is not State.read or mention.misnumbered:
        return False
    return all(effect_holds(effect, node) for effect, _ in mention.effects for node in mention.after)


def _false(reading: Reading) -> int:
    return len(reading.not_understood) + sum(not _true(mention) for mention in reading.mentions)
