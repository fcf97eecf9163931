"""What is told again without its moves: "the same answer", "which leaves the threat unanswered"."""

from __future__ import annotations

from collections.abc import Callable

import chess
from keyproof.grammar.frames.values import Said
from msgspec import Struct
from msgspec.structs import replace

from ...play.node import Node
from .hypothesis import Hypothesis, Link, Placement
from .meaning import meant_again, taken
from .oracle import Oracle

_Holds = Callable[[Node], bool | None]


class Repeats(Struct, frozen=True):
    """Plays moves once more that were told before."""

    oracle: Oracle
    attacker: chess.Color

    def of(self, frame: Said, at: Hypothesis) -> Hypothesis | None:
        """Play the last answer once more where replies stand open, or the last refutation after a first move."""
        if "threat" in frame.marks:
            return self._threat(frame, at)
        attacks = at.frontier[0].board.turn == self.attacker
        answer = at.answer if attacks else at.refutation
        if answer is None or at.closed or not at.frontier[0].ply:
            return None
        after = self._played(frame, answer, at.frontier, at, self.oracle.right if attacks else self.oracle.refutes)
        return None if after is None else replace(after, closed=True)

    def _threat(self, frame: Said, at: Hypothesis) -> Hypothesis | None:
        """Carry the threat told last out against the replies of the frontier, or tell it of another first move."""
        threat = at.threat
        if threat is None or at.closed or not at.frontier[0].ply:
            return None
        nodes = at.frontier
        told = nodes[0].board.turn != self.attacker
        if told:
            nodes = tuple(node for node in (each.pass_move() for each in nodes) if node is not None)
        after = self._played(frame, threat, nodes, at, self.oracle.right) if nodes else None
        if after is None:
            return None
        if told:
            return replace(after, frontier=at.frontier)
        return replace(after, closed=True, answer=None if after.link is None else after.link.placement)

    def _played(
        self, frame: Said, before: Placement, nodes: tuple[Node, ...], at: Hypothesis, holds: _Holds
    ) -> Hypothesis | None:
        """Return where the text stands when what was placed before is played from `nodes` and does there as well."""
        told = replace(before.frame, span=frame.span, effects=(), stance=frame.stance, number=None)
        for each in taken(told, at.situation(nodes), self.oracle, self.attacker):
            ends = each.ends()
            if each.false or not all(holds(end) for end in ends):
                continue
            if ends[0].ply < (self.oracle.plies or 0) and not all(found for way in each.ways for _, found in way):
                continue  # the rest may end sooner, which is told nowhere
            phrases = tuple(meant_again(phrase, frame.span) for phrase in each.phrases)
            placement = Placement(told, phrases, each.ways, each.cost, repeats=True, source=at.source)
            link = Link(frame, placement, at.link)
            return replace(at, frontier=ends, cost=at.cost + each.cost, link=link, listing=False)
        return None
