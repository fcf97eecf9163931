"""Which moves that nobody asserts are sure of their place: what is asked and answered, or supposed and true."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import chess
from keyproof.grammar.cues import Stance
from keyproof.grammar.frames.values import Move, Said

from ...play.node import Node
from .attach import REFUTE, TRY
from .hypothesis import Link, Placement
from .oracle import Oracle

_RAISED = (Stance.asked, Stance.supposed, Stance.quoted, Stance.wished, Stance.withdrawn)


def borne_out(placements: Sequence[Placement], oracle: Oracle, attacker: chess.Color) -> Iterator[Move]:
    """Yield the moves of which nothing can be called false, and whose place what follows bears out all the same.

    "What about queen c3? The king takes her": the answer is played from there. "If it were his move, he would run into
    queen b2 mate": the answer does what it is to do. Nothing that is false of them is borne out.
    """
    starts = {node for each in placements if each.frame.stance is Stance.asserted for node in each.starts()}
    for each in reversed(placements):
        if each.false or each.illegal or not (only_raised(each.frame) or is_loose(each.frame)):
            continue
        ends = each.ends()
        does = oracle.right if each.starts()[0].board.turn == attacker else oracle.refutes
        if set(ends) & starts or all(end.ply > 1 and does(end) for end in ends):
            starts.update(each.starts())
            yield each.frame


def only_raised(frame: Move) -> bool:
    """Tell whether a move is only asked about, supposed or the like."""
    return frame.stance in _RAISED


def is_loose(frame: Move) -> bool:
    """Tell whether a move is asserted among words that nobody understands."""
    return frame.stance is Stance.asserted and bool(frame.uncovered) and not frame.printed


def called_key(links: Sequence[Link], oracle: Oracle) -> Iterator[Node]:
    """Yield the positions after the move told last where words behind it call it the key, rightly: "That's it!"."""
    last: Placement | None = None
    for link in links:
        if link.placement is not None:
            last = link.placement
        elif isinstance(link.frame, Said) and link.frame.kind == "mark" and "key" in link.frame.marks and last:
            yield from (end for end in last.ends() if end.ply == 1 and oracle.solves(end))


def exclaimed(links: Sequence[Link], text: str, oracle: Oracle) -> Iterator[Node]:
    """Yield the position after a first move that fails and is told as the key: "Got it? Queen to g3! Zugzwang.".

    It has an exclamation mark, nothing that refutes it is told, and lines of the true key, which nobody tells, follow.
    """
    last: Placement | None = None
    called: list[Node] = []
    for each in (link.placement for link in links if link.placement is not None):
        first = each.starts()[0].first
        if first is None and any(oracle.solves(end) for end in each.ends()):
            return
        if last is not None and first is not None and oracle.solves(first):
            called += last.ends()
        if last is not None and first in last.ends() and not any(map(oracle.refutes, each.ends())):
            continue  # some of its lines may be played after it too
        calls = first is None and all(oracle.solves(end) is False for end in each.ends())
        last = each if calls and _is_called(each.frame, text) else None
    yield from called


def _is_called(frame: Move, text: str) -> bool:
    """Tell whether a move told in words is asserted, called no try, and followed by an exclamation mark."""
    plain = frame.stance is Stance.asserted and not (frame.marks & TRY or frame.vague or frame.uncovered)
    return plain and text[frame.span.end : frame.span.end + 1] == "!"


def only_first(placements: Sequence[Placement]) -> Placement | None:
    """Return the one first move of a text where it is printed with its number and nothing says that it is a try."""
    told = [each for each in placements if each.starts()[0].parent is None and each.ends()]
    if len(told) != 1 or len(told[0].ends()) != 1 or told[0].illegal:
        return None
    frame, phrase = told[0].frame, told[0].phrases[0]
    numbered = frame.printed and frame.number is not None and frame.number.ply == 1
    behind = [each for each in placements if each.starts() == told[0].ends()]
    refuted = any(each.frame.marks & REFUTE or each.phrases[0].annotation.startswith("!") for each in behind)
    plain = frame.stance is Stance.asserted and not (frame.marks & TRY or phrase.annotation)
    return told[0] if numbered and plain and not refuted else None
