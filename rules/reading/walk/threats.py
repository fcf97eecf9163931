"""What a defence meets: the mates that were threatened before it, and no longer mate."""

from __future__ import annotations

from collections.abc import Iterable

import chess

from ...play.node import Node
from .oracle import Oracle


class Threats:
    """The threats before each defence, worked out once."""

    def __init__(self, oracle: Oracle) -> None:
        self.oracle = oracle
        self._mates: dict[Node, tuple[chess.Move, ...]] = {}

    def defence(self, end: Node) -> Node | None:
        """Return the reply of the line to `end` behind which mate is due, None where none of a first move is told."""
        plies = self.oracle.plies
        node: Node | None = None if plies is None else end
        while node is not None and plies is not None and node.ply >= plies:
            node = node.parent
        if node is None or node.parent is None or not (node.move and node.parent.move):
            return None
        return node if node.ply + 1 == plies else None

    def behind(self, defence: Node, told: Iterable[Node]) -> list[Node]:
        """Return the positions after the threats that a defence meets; after the mates `told` where there are none."""
        before = defence.parent
        assert before is not None
        mates = self._threats(before)
        if not mates:
            ends = (end for end in told if end.mate and end.ply == defence.ply + 1 and end.first is defence.first)
            mates = tuple(dict.fromkeys(end.move for end in ends if end.move))
        legal = defence.board.legal_moves
        played = (defence.play(move) for move in mates if move in legal)
        return [node for node in played if not node.over]

    def _threats(self, before: Node) -> tuple[chess.Move, ...]:
        found = self._mates.get(before)
        if found is None:
            passed = before.pass_move()
            moves = [] if passed is None else list(passed.board.legal_moves)
            self.oracle.work.take(len(moves) or 1)
            found = self._mates[before] = tuple(move for move in moves if passed and passed.play(move).mate)
        return found
