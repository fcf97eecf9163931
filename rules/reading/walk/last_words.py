"""The replies that are a text's last words on a try, which say what refutes it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from keyproof.grammar.frames.values import Frame, Move, Said

from .at_once import tried
from .attach import KEY, TRY
from .hypothesis import Hypothesis, Placement


def last_words(best: Hypothesis) -> Iterator[Frame]:
    """Yield the replies to tries behind which nothing more is told of them."""
    yield from _in_print(best)
    yield from _in_words(best)


def _in_print(best: Hypothesis) -> Iterator[Frame]:
    """Yield the printed replies with which a sentence on a try ends, nothing told behind them ("1.Qa2? Kd5.")."""
    starts = {node for each in best.placements() for node in each.starts()}
    before: Placement | None = None
    last: Placement | None = None
    for link in (*best.links(), None):
        if link is None or (isinstance(link.frame, Said) and link.frame.kind in ("end", "paragraph")):
            if last is not None:
                yield last.frame
            before = last = None
        elif isinstance(link.frame, Move):
            told, last = link.placement, None
            if told is not None and before is not None and told.frame.printed and tried(before):
                ends = set(told.ends())
                last = told if set(told.starts()) <= set(before.ends()) and not ends & starts else None
            before = told


def _in_words(best: Hypothesis) -> Iterator[Frame]:
    """Yield the replies in words that stand alone behind their first moves, in a paragraph of what is called tries."""
    tries = False
    told: list[Placement] = []
    for link in (*best.links(), None):
        ends = link is None or (isinstance(link.frame, Said) and link.frame.kind == "paragraph" and bool(told))
        if ends or (link is not None and link.frame.marks & KEY):
            yield from _alone(told)
            tries, told = False, []
        elif link is not None and link.frame.marks & TRY:
            tries = True
        if tries and link is not None and link.placement is not None:
            told.append(link.placement)


def _alone(told: Sequence[Placement]) -> Iterator[Frame]:
    for index, reply in enumerate(told[1:], 1):
        before, after = told[index - 1], told[index + 1] if index + 1 < len(told) else None
        alone = after is None or after.starts()[0].parent is None
        told_of_first = _is_first(before) and reply.starts() == before.ends() and reply.phrases[0].exact
        if alone and told_of_first and not reply.frame.printed:
            yield reply.frame


def _is_first(told: Placement) -> bool:
    return len(told.ends()) == 1 and told.starts()[0].parent is None
