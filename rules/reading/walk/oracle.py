"""What the proof says of single moves: a prior for the walk, never a verdict."""

from __future__ import annotations

from functools import cached_property

import chess

from ...play.node import Node
from ...proof.proof import Proof
from ..work import Work


class Oracle:
    """The proof of the diagram, asked move by move. Without a proof nothing is known, and all costs the same.

    `work` counts the positions that the walk looks at.
    """

    def __init__(self, proof: Proof | None, plies: int | None, work: Work) -> None:
        self.proof, self.plies, self.work = proof, plies, work

    @cached_property
    def keys(self) -> frozenset[chess.Move]:
        """The first moves that solve; empty where nothing is proved."""
        return frozenset(self.proof.keys) if self.proof is not None else frozenset()

    def solves(self, first: Node) -> bool | None:
        """Tell whether the first move into `first` solves, None where that is not known."""
        if self.proof is None or not self.proof.searched.complete or first.move is None:
            return None
        return first.move in self.keys

    def refutes(self, reply: Node) -> bool | None:
        """Tell whether a reply to a first move refutes it, None where that is not known."""
        first = reply.parent
        if self.proof is None or first is None or first.move is None or reply.move is None:
            return None
        if first.move in self.keys:
            return False
        attempt = self.proof.attempt(first.move)
        return None if attempt is None or not attempt.complete else reply.move in attempt.refutations

    def right(self, end: Node) -> bool | None:
        """Tell whether the attacker's move into `end` reaches the aim in time, None where that is not known."""
        if end.mate:
            return True
        if self.plies is None:
            return None
        if end.ply >= self.plies:
            return False
        reply = end.parent
        first = reply.parent if reply is not None else None
        if self.proof is None or reply is None or first is None or first.parent is None or first.parent.parent:
            return None
        play = self.proof.play_after(first.move) if first.move else None
        if play is None or reply.move is None:
            return None
        if not reply.move:
            return end.move in [threat.move for threat in play.threats]
        for defence in play.defences:
            if defence.move == reply.move:
                return end.move in [answer.move for answer in defence.answers]
        return None
