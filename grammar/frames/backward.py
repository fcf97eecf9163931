"""What a sentence says of the one before it: "That doesn't work."."""

from __future__ import annotations

from msgspec.structs import replace

from .values import Frame, Move, Said


def fails_before(found: list[Frame]) -> None:
    """Say of the sentence before that it fails: of its only move, else of the last, to which nothing is left."""
    end = len(found) - 1
    while end >= 0 and isinstance(each := found[end], Said) and each.kind == "end":
        end -= 1
    begin = max(end, 0)
    while begin > 0 and not (isinstance(each := found[begin - 1], Said) and each.kind in ("end", "paragraph")):
        begin -= 1
    moves = [place for place in range(begin, end + 1) if isinstance(found[place], Move)]
    if not moves or end < 0:
        return
    last = found[moves[-1]]
    assert isinstance(last, Move)
    found[moves[-1]] = replace(last, marks=last.marks | {"was fail" if len(moves) == 1 else "was futile"})
