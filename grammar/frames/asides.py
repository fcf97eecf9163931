"""Moves in clauses that tell a reason: "what the eye sees first is queen h6 check, and the king takes".

A word of reasons ("guards", "open", "eye") makes its clause one, in which men and squares are no moves. Where nothing
ends the clause, as in what is said without a pause, moves follow all the same. So they are given as well, for the walk
to take where they fit the play, and never to be held against the author.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from msgspec.structs import replace

from .values import Frame, Move, Said, Who


def with_asides(found: list[Frame], plainly: Callable[[], list[Frame]]) -> list[Frame]:
    """Return the frames of a sentence with the moves that stand behind its reasons.

    `plainly` reads the sentence as if words of reasons told none.
    """
    reasons = [each for each in found if isinstance(each, Said) and each.kind == "reason"]
    if not reasons:
        return found
    first, taken = reasons[0].span, [each.span for each in found if isinstance(each, Move)]
    plain = plainly()
    asides: list[Frame] = [
        replace(each, aside=True, uncovered=(*each.uncovered, first))
        for each in (*(each for each in plain if isinstance(each, Move) and _told(each)), *_in_view(plain))
        if each.span.start >= first.end
        and not any(each.span.start < span.end and span.start < each.span.end for span in taken)
    ]
    return sorted([*found, *asides], key=lambda each: each.span.start) if asides else found


def _in_view(plain: list[Frame]) -> Iterator[Move]:
    """Yield the threats of a man who is told to see squares where he mates: "she eyes g7 and f4, either is mate"."""
    who: Who | None = None
    seen: list[Move] = []
    for each in plain:
        if isinstance(each, Move):
            seen = [*seen, each] if who is not None and each.bare and not (each.verb or each.printed) else []
        elif each.kind == "reason":
            who, seen = (each.who if each.who is not None and each.who.kinds else None), []
        if who is not None and seen and isinstance(each, Said) and "either" in each.marks:
            yield from (_threatened(move, who) for move in seen)
            seen = []


def _threatened(move: Move, who: Who) -> Move:
    """Return squares as those that a man threatens to go to."""
    ways = tuple(
        replace(way, choices=tuple(replace(phrase, piece=who.kinds[0], colour=who.colour) for phrase in way.choices))
        for way in move.ways
    )
    return replace(move, ways=ways, who=who, bare=False, marks=move.marks | {"threat"})


def with_participles(found: list[Frame], text: str) -> list[Frame]:
    """Return frames with no move where it is said what the one just told does besides: "1.Nf3, taking the knight"."""
    told = list(found)
    for place in range(1, len(told)):
        before, frame = told[place - 1], told[place]
        if not (isinstance(before, Move) and isinstance(frame, Move) and frame.vague and frame.who is None):
            continue
        does = frame.verb == "take" and frame.span.of(text).split()[0].lower().endswith("ing")
        if does and text[before.span.end : frame.span.start].strip() == ",":
            told[place] = Said("reason", frame.span)
    return told


def _told(move: Move) -> bool:
    """Tell whether a move is told by more than a square, and squares by more than standing beside a man."""
    named = move.who is not None and bool(move.who.kinds) and len(move.ways[0].choices) == 1
    return not move.vague and (named or move.verb in ("go", "take") or move.printed)
