"""First moves said to fail by what is said of the reply to them, and replies said together with one that refutes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from keyproof.grammar.cues import Stance
from keyproof.grammar.frames.values import Move, Said

from ...play.node import Node
from .attach import FAIL, KEY, REFUTE
from .hypothesis import Link, Placement


def said_to_be_beaten(links: Sequence[Link]) -> Iterator[Node]:
    """Yield the positions after first moves that the next move told is said to refute: "1.Qe8 fails to Ka6"."""
    first: Placement | None = None
    for link in links:
        reply = link.placement
        if isinstance(link.frame, Said):
            continue
        if first is not None and reply is not None and _is_first(first) and _refutes(first, reply):
            yield from first.ends()
        first = reply


def _is_first(told: Placement) -> bool:
    called = told.frame.marks & KEY or any(each.annotation.startswith("!") for each in told.phrases)
    return told.starts()[0].parent is None and not (called or told.rest)


def _refutes(first: Placement, reply: Placement) -> bool:
    said = bool(reply.frame.marks & REFUTE) and reply.frame.stance is Stance.asserted
    return said and reply.starts() == first.ends()


def told_with_next(links: Sequence[Link]) -> Iterator[Placement]:
    """Yield the replies of a list of which the next says what is said of all: "both 1...Kg6 and 1...Ng4 leave no mate".

    Nothing but the next move of the list stands behind them, and it is played in the same position.
    """
    for link, following in pairwise(links):
        if not isinstance(following.frame, Move) or link.placement is None or following.placement is None:
            continue
        same = link.placement.starts() == following.placement.starts()
        if same and following.frame.listed and following.frame.marks & (REFUTE | FAIL | {"was futile"}):
            yield link.placement
