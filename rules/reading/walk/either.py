"""Answers that are told without their moves: "either", "both still mate", "either rook does it", "the knight"."""

from __future__ import annotations

from collections.abc import Iterator

import chess
from keyproof.grammar.cues import Stance
from keyproof.grammar.frames.values import Frame, Move, Way
from keyproof.grammar.moves import MovePhrase
from keyproof.grammar.spans import Span
from msgspec import Struct
from msgspec.structs import replace

from ...play.node import Node
from . import costs
from .hypothesis import Hypothesis, Link, Placement
from .meaning import is_of_others
from .oracle import Oracle

_SOLUTION = 60  # frames that the play behind one first move may take, at the most
_Told = tuple[chess.PieceType, chess.Move]


class Either(Struct, frozen=True):
    """Plays after open replies those of the moves told before that all mate there.

    There must be at least two, or one of the man who alone is named.
    """

    oracle: Oracle
    attacker: chess.Color

    def of(self, frame: Frame, at: Hypothesis) -> Hypothesis | None:
        """Answer the replies of the frontier with the threats told, else with the answers told to other replies.

        Of a reply whose answer was told in the same breath it says that others do as well: "queen b5, or the rook".
        """
        nodes, known = at.frontier, frozenset[chess.Move | None]()
        if at.closed:
            before = _just_told(at)
            if before is None:
                return None
            nodes, known = before.starts(), frozenset(end.move for end in before.ends())
        if nodes[0].ply < 2 or not nodes[0].move or nodes[0].board.turn != self.attacker:
            return None
        kinds = () if frame.who is None else frame.who.kinds
        told = [(threat, each) for threat, each in self._told(at) if not kinds or _by(each, kinds)]
        threats = [each for threat, each in told if threat]
        least = 1 if _names(frame) else 2
        for moves in (threats, [each for _, each in told]):
            right = [each for each in dict.fromkeys(moves) if self._mates(each, nodes)]
            kept = tuple(
                node for node in nodes if len(moves) >= least and all(self._mates(each, (node,)) for each in moves)
            )
            enough = len(right) >= least and {move for _, move in right} - known
            mostly = 2 * len(kept) > len(nodes)  # the rest of a set may be told elsewhere
            if at.source is not None and kept and not at.closed and (mostly or not enough):
                return self._played(frame, [*dict.fromkeys(moves)], kept, at)
            if enough:
                return self._played(frame, right, nodes, at)
        return None

    def _told(self, at: Hypothesis) -> Iterator[tuple[bool, _Told]]:
        """Yield the moves of the attacker told after the same first move, and whether they were told as threats."""
        for placement in at.lately(_SOLUTION):
            start = placement.starts()[0]
            if start.first is not at.frontier[0].first or start.board.turn != self.attacker or placement.illegal:
                continue
            for end in placement.ends():
                if end.move and end.parent is not None:
                    kind = end.parent.board.piece_type_at(end.move.from_square)
                    assert kind is not None
                    yield not start.move, (kind, end.move)

    def _mates(self, told: _Told, nodes: tuple[Node, ...]) -> bool:
        """Tell whether the same man may make a move at all of some positions and reach the aim by it."""
        kind, move = told
        return all(
            node.board.piece_type_at(move.from_square) == kind
            and node.board.is_legal(move)
            and self.oracle.right(node.play(move)) is True
            for node in nodes
        )

    @staticmethod
    def _cost(frame: Frame, nodes: tuple[Node, ...], at: Hypothesis) -> int:
        cost = costs.LOOSE * (len(nodes) < len(at.frontier))
        if not _names(frame):
            return cost
        asked = at.last is not None and at.last.frame.stance is Stance.asked
        return cost + (-costs.AGREES if asked else costs.ONLY_NAMED)

    def _played(self, frame: Frame, moves: list[_Told], nodes: tuple[Node, ...], at: Hypothesis) -> Hypothesis:
        phrases = tuple(_phrase(frame.span, kind, move) for kind, move in moves)
        ways = tuple(tuple((node, (node.play(move),)) for node in nodes) for _, move in moves)
        others = at.source is not None and is_of_others(at.source.phrases)
        unsure = (frame.span,) if others and len(nodes) < len(at.frontier) else ()
        told = Move(frame.span, (Way(phrases),), stance=Stance.asserted, uncovered=unsure)
        cost = self._cost(frame, nodes, at)
        placement = Placement(told, phrases, ways, cost, repeats=True, source=at.source)
        return replace(
            at,
            frontier=placement.ends(),
            cost=at.cost + cost,
            link=Link(frame, placement, at.link),
            listing=False,
            closed=True,
            waiting=0,
            answers=(placement,),
        )


def _just_told(at: Hypothesis) -> Placement | None:
    """Return the move told last, if the sentence has not ended since."""
    link = at.link
    while link is not None and link.placement is None:
        if isinstance(link.frame, Move) or link.frame.kind in ("end", "paragraph"):
            return None
        link = link.before
    return None if link is None else link.placement


def _names(frame: Frame) -> bool:
    """Tell whether nothing is told but a man."""
    return isinstance(frame, Move) or frame.kind == "topic"


def _by(told: _Told, kinds: tuple[chess.PieceType, ...]) -> bool:
    """Tell whether a move is one of a man of these kinds, or makes one."""
    return bool({told[0], told[1].promotion} & set(kinds))


def _phrase(span: Span, kind: chess.PieceType, move: chess.Move) -> MovePhrase:
    """Return a move in words that name it wholly, none of which stand in the text."""
    return MovePhrase(
        span,
        "",
        piece=kind,
        origin_file=chess.square_file(move.from_square),
        origin_rank=chess.square_rank(move.from_square),
        destination=move.to_square,
        promotion=move.promotion,
        worded=True,
    )
