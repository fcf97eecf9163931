"""Which moves that nobody asserts are sure of their place: what is asked and answered, or supposed and true."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import chess
from keyproof.grammar.cues import Stance
from keyproof.grammar.spans import Span

from .hypothesis import Placement
from .oracle import Oracle

_RAISED = (Stance.asked, Stance.supposed, Stance.quoted, Stance.wished)


def taken_up(placements: Sequence[Placement], oracle: Oracle, attacker: chess.Color) -> Iterator[Span]:
    """Yield the words of moves that are only raised, and whose place what follows bears out.

    "What about queen c3? The king takes her": the answer is played from there. "If it were his move, he would run into
    queen b2 mate": the answer does what it is to do. Nothing that is false of them is borne out.
    """
    starts = {node for each in placements if each.frame.stance is Stance.asserted for node in each.starts()}
    for each in reversed(placements):
        if each.frame.stance not in _RAISED or each.false or each.illegal:
            continue
        if each.frame.uncovered and not each.frame.printed:
            continue
        ends = each.ends()
        attacks = each.starts()[0].board.turn == attacker
        if set(ends) & starts or (attacks and all(end.ply > 1 and oracle.right(end) for end in ends)):
            starts.update(each.starts())
            yield each.frame.span
