"""Men joined before one verb that tells what each of them takes: "king or pawn takes"."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from .values import Frame, Move, Said


def with_takers(found: Sequence[Frame]) -> list[Frame]:
    """Return frames in which a man who is named before "or" takes what the one behind it is told to take."""
    told = list(found)
    for place in range(len(told) - 1, 0, -1):
        before, frame = told[place - 1], told[place]
        if not isinstance(before, Said) or before.kind != "topic" or not isinstance(frame, Move):
            continue
        if "or" in frame.marks and _takes(frame) and _is_alone(before) and before.who is not None:
            kind = before.who.kinds[0]
            ways = tuple(
                replace(way, choices=tuple(replace(each, piece=kind) for each in way.choices)) for way in frame.ways
            )
            marks = (before.marks | frame.marks) - {"or"}
            told[place - 1] = replace(frame, span=before.span, ways=ways, marks=marks, who=before.who, listed=False)
    return told


def _takes(frame: Move) -> bool:
    named = frame.who is not None and bool(frame.who.kinds) and frame.who.square is None
    return frame.verb == "take" and frame.vague and named


def _is_alone(topic: Said) -> bool:
    who = topic.who
    return who is not None and bool(who.kinds) and who.square is None and not (who.plural or who.other)
