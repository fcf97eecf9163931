"""Replies of one man told one after the other, with no sign between them: "bishop a6 bishop c6 bishop d5 all lose"."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from .values import Frame, Move

_FEWEST = 3  # of fewer one may answer the other


def with_runs(found: Sequence[Frame], text: str) -> list[Frame]:
    """Return frames; moves of men of one kind that run on without a sign or word between them are a list."""
    told = list(found)
    start = 0
    for place in range(1, len(told) + 1):
        if place < len(told) and _runs_on(told[place - 1], told[place], text):
            continue
        if place - start >= _FEWEST:
            for at in range(start + 1, place):
                told[at] = replace(told[at], listed=True)
        start = place
    return told


def _runs_on(before: Frame, frame: Frame, text: str) -> bool:
    """Tell whether a move stands right behind another of a man of the same kind, and is as bare as that."""
    if not (isinstance(before, Move) and isinstance(frame, Move)):
        return False
    first, second = before.ways[0].choices[0], frame.ways[0].choices[0]
    plain = not (before.effects or before.number or frame.number or frame.verb or first.effects)
    joined = not text[before.span.end : frame.span.start].strip() or "or" in frame.marks
    squares = first.destination is not None and second.destination not in (None, first.destination)
    return plain and joined and squares and first.piece is not None and first.piece == second.piece
