"""What is told again without its moves: "the same answer", "which leaves the threat unanswered"."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import chess
from keyproof.grammar.cues import Stance
from keyproof.grammar.frames.values import Move, Said, Way
from keyproof.grammar.spans import Span
from msgspec import Struct
from msgspec.structs import replace

from ...play.node import Node
from .hypothesis import Hypothesis, Link, Placement
from .meaning import is_of_others, is_rest, meant_again, taken
from .oracle import Oracle

_Holds = Callable[[Node], bool | None]


class Repeats(Struct, frozen=True):
    """Plays moves once more that were told before."""

    oracle: Oracle
    attacker: chess.Color

    def of(self, frame: Said, at: Hypothesis) -> Hypothesis | None:
        """Play the last answers once more where replies stand open, or the last refutations after a first move."""
        attacks = at.frontier[0].board.turn == self.attacker
        if at.closed or not at.frontier[0].ply:
            return None
        if "threat" in frame.marks:
            return self._threat(frame, at)
        if not attacks and at.frontier[0].ply > 1:
            return None
        told = at.answers if attacks else at.refutations
        after = self._each(frame, told, at.frontier, at, self.oracle.right if attacks else self.oracle.refutes)
        if after is None and attacks:
            return self._threat(frame, at)  # "1...c4 changes nothing" where another reply was answered before
        return None if after is None else replace(after, closed=True)

    def threat(self, told: Placement, at: Hypothesis) -> Placement | None:
        """Return the last move told to be threatened, but none that would not do where one is known that would."""
        start, ends = told.starts()[0], told.ends()
        passed = start.move is not None and not start.move and start.board.turn == self.attacker
        spoils = at.threat is not None and any(self.oracle.right(end) is False for end in ends)
        return told if passed and not spoils else at.threat

    def let_through(self, frame: Move, at: Hypothesis, before: Hypothesis) -> Hypothesis:
        """Answer replies that are told to be of no use by the threat, where it works: "1...c4 does nothing".

        Others that are joined to one that was answered have its answer: "1...h1=N 2.Qe4, or any other promotion".
        """
        if frame.stance is not Stance.asserted or at.closed:
            return at
        if at.frontier[0].ply != 2 or at.frontier[0].board.turn != self.attacker:
            return at
        again = Said("again", Span(frame.span.end - 1, frame.span.end))  # what is told besides has no words of its own
        after: Hypothesis | None = None
        if "was fail" in frame.marks:
            after = self._threat(again, at)
        elif "or" in frame.marks and before.closed and any(map(is_rest, frame.ways[0].choices)):
            after = self._each(again, before.answers, at.frontier, at, self.oracle.right)
        return at if after is None else after

    def _threat(self, frame: Said, at: Hypothesis) -> Hypothesis | None:
        """Carry the threat told last out against the replies of the frontier, or tell it of another first move."""
        nodes = at.frontier
        if at.threat is None:
            return None
        told = nodes[0].board.turn != self.attacker
        if told:
            nodes = tuple(node for node in (each.pass_move() for each in nodes) if node is not None)
        after = self._each(frame, (at.threat,), nodes, at, self.oracle.right) if nodes else None
        if after is None:
            return None
        return replace(after, frontier=at.frontier) if told else replace(after, closed=True, answers=(at.threat,))

    def _each(
        self, frame: Said, told: Sequence[Placement], nodes: tuple[Node, ...], at: Hypothesis, holds: _Holds
    ) -> Hypothesis | None:
        """Return where the text stands when all that was placed before is played, or one of it, the last that does."""
        for moves in (told, *((each,) for each in reversed(told))):
            placed = [self._played(frame, before, nodes, at, holds) for before in moves]
            after = replace(at, listing=False)
            ends = dict[Node, None]()
            for each in placed:
                if each is None:
                    break
                ends |= dict.fromkeys(each.ends())
                after = replace(after, cost=after.cost + each.cost, link=Link(frame, each, after.link))
            else:
                if placed:
                    return replace(after, frontier=tuple(ends))
        return None

    def _played(
        self, frame: Said, before: Placement, nodes: tuple[Node, ...], at: Hypothesis, holds: _Holds
    ) -> Placement | None:
        """Return what was placed before as played from `nodes`, if it does there as well."""
        cost = next((way.cost for way in before.frame.ways if way.choices is before.phrases and before.frame.vague), 0)
        ways = (Way(before.phrases, cost),)
        told = replace(before.frame, span=frame.span, ways=ways, effects=(), stance=frame.stance, number=None)
        for each in taken(told, at.situation(nodes), self.oracle, self.attacker):
            ends = each.ends()
            if each.false or not all(holds(end) for end in ends):
                continue
            if ends[0].ply < (self.oracle.plies or 0) and not all(found for way in each.ways for _, found in way):
                continue  # the rest may end sooner, which is told nowhere
            others = at.source is not None and is_of_others(at.source.phrases)
            if others and not all(found for way in each.ways for _, found in way):
                told = replace(told, printed=False, uncovered=(frame.span,))
            phrases = tuple(meant_again(phrase, frame.span) for phrase in each.phrases)
            return Placement(told, phrases, each.ways, each.cost, repeats=True, source=at.source)
        return None
