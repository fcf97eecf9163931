"""Men who take by a verb told once: "king or pawn takes", "on d3 she is taken by the bishop, on e1 by the knight"."""

from __future__ import annotations

from collections.abc import Sequence

from keyproof.grammar.spans import Span
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
    return _same_fate(told)


def _same_fate(found: list[Frame]) -> list[Frame]:
    """Return frames in which a square and a man behind "by" tell what befalls there the man taken just before."""
    told: list[Frame] = []
    stood: Move | None = None  # where the man stands who is taken
    taken: Move | None = None
    for frame in found:
        if isinstance(frame, Move) and _stands(frame):
            stood, taken = frame, None
        elif isinstance(frame, Move) and stood is not None and frame.verb == "take":
            taken = frame
        elif isinstance(frame, Move) and stood is not None and taken is not None and _by_another(frame):
            told += _taken_there(frame, stood, taken)
            continue
        told.append(frame)
    return told


def _stands(frame: Move) -> bool:
    """Tell whether a man has gone to a square to be taken: "on e1 the queen is taken"."""
    one = len(frame.ways[0].choices) == 1 and frame.ways[0].choices[0].destination is not None
    return "try" in frame.marks and frame.apart and one and not frame.verb and frame.who is not None


def _by_another(frame: Move) -> bool:
    """Tell whether nothing but a square and a man behind it is told: "on e1 by the knight"."""
    who, phrase = frame.who, frame.ways[0].choices[0]
    named = who is not None and bool(who.kinds) and who.square is None and phrase.destination is not None
    return named and who is not None and not frame.verb and frame.span.start < who.span.start


def _taken_there(frame: Move, stood: Move, taken: Move) -> list[Frame]:
    phrase, who = frame.ways[0].choices[0], frame.who
    assert who is not None
    words = phrase.text[: who.span.start - phrase.span.start].rstrip()
    span = Span(frame.span.start, frame.span.start + len(words))
    goes = {"span": span, "text": words, "destination": phrase.destination}
    does = {"span": who.span, "text": phrase.text[who.span.start - phrase.span.start :], "piece": who.kinds[0]}
    ways = tuple(replace(way, choices=tuple(replace(each, **goes) for each in way.choices)) for way in stood.ways)
    takes = tuple(replace(way, choices=tuple(replace(each, **does) for each in way.choices)) for way in taken.ways)
    return [
        replace(stood, span=span, ways=ways, listed=False),
        replace(taken, span=who.span, ways=takes, who=who, effects=frame.effects, listed=False),
    ]


def _takes(frame: Move) -> bool:
    named = frame.who is not None and bool(frame.who.kinds) and frame.who.square is None
    return frame.verb == "take" and frame.vague and named


def _is_alone(topic: Said) -> bool:
    who = topic.who
    return who is not None and bool(who.kinds) and who.square is None and not (who.plural or who.other)
