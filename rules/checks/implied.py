"""What a solution can be held to where nothing says what its puzzle asks for.

Where a text tells the one first move that mates in two (or, where none does, in three) and its mates at the last of
these moves, that is what it solves. What it then says of tries and answers is true or false of that.
"""

from __future__ import annotations

from ..board.stipulation import Stipulation
from ..case.case import Case
from ..reading.reading import Mention, Reading, Role, State

AGAINST = frozenset(("refutation-fails", "answer-fails", "set-play-fails"))
"""Rules of which the findings may rest on that: none on what a text leaves out, or on what is sound."""

_MATES = 2  # that a text must tell at the end of its lines


def implied(case: Case) -> Stipulation | None:
    """Return what a text solves though nothing asks for it; None where something does, or that is not plain."""
    reading, likely = case.reading, case.likely
    if case.stated is not None or case.result is not None or case.other_genre is not None:
        return None
    if reading is None or likely is None or len(likely[0].keys) != 1 or not likely[0].searched.complete:
        return None
    proof, plies = likely
    key = reading.diagram.play(proof.keys[0])
    told = [mention for mention in reading.mentions if mention.state is State.read]
    if not any(mention.role is Role.key and mention.after == [key] for mention in told):
        return None
    if any(node.ply > plies for mention in told for node in mention.after):
        return None
    return proof.stipulation if len(_mates(told, reading, plies)) >= _MATES else None


def _mates(told: list[Mention], reading: Reading, plies: int) -> set[int]:
    """Return the places of the mates that are told at the end of lines."""
    return {
        mention.phrase.span.start
        for mention in told
        if mention.role is Role.answer
        and not reading.is_open(mention.phrase.span.start)
        and mention.after
        and all(node.ply == plies and node.mate for node in mention.after)
    }
