"""What the proof says of single moves: a prior for the walk, never a verdict."""

from __future__ import annotations

from collections.abc import Collection
from functools import cached_property

import chess

from ...play.node import Node
from ...proof.proof import Proof
from ...proof.prover import refutations
from ..work import Work

_EFFORT = 0.002
_HARDLY_ANY = 2


class Oracle:
    """The proof of the diagram, asked move by move. Without a proof nothing is known, and all costs the same.

    `work` counts the positions that the walk looks at.
    """

    def __init__(self, proof: Proof | None, plies: int | None, work: Work) -> None:
        self.proof, self.plies, self.work = proof, plies, work
        self._right: dict[Node, bool | None] = {}
        self._refutes: dict[Node, bool | None] = {}

    @cached_property
    def keys(self) -> tuple[chess.Move, ...]:
        """The first moves that solve, in the order of the proof; empty where nothing is proved."""
        return () if self.proof is None else self.proof.keys

    def man_of_key(self, diagram: Node) -> chess.PieceType | None:
        """Return the kind of man that makes the key, None where there is not one key."""
        origins = {key.from_square for key in self.keys}
        return diagram.board.piece_type_at(origins.pop()) if len(origins) == 1 else None

    def solves(self, first: Node) -> bool | None:
        """Tell whether the first move into `first` solves, None where that is not known."""
        if self.proof is None or not self.proof.searched.complete or first.move is None:
            return None
        return first.move in self.keys

    def nearly(self, first: Node, most: int = _HARDLY_ANY) -> bool:
        """Tell whether a first move is a try: hardly any reply refutes it, no more than `most`."""
        attempt = None if self.proof is None or first.move is None else self.proof.attempt(first.move)
        return attempt is not None and attempt.complete and len(attempt.refutations) <= most

    def refutes(self, reply: Node) -> bool | None:
        """Tell whether a reply to a first move refutes it, None where that is not known."""
        if reply not in self._refutes:
            self._refutes[reply] = self._refutes_first(reply)
        return self._refutes[reply]

    def _refutes_first(self, reply: Node) -> bool | None:
        first = reply.parent
        if self.proof is None or first is None or first.move is None or reply.move is None:
            return None
        if first.move in self.keys:
            return False
        attempt = self.proof.attempt(first.move)
        return None if attempt is None or not attempt.complete else reply.move in attempt.refutations

    def refuted_by(self, first: Node, replies: Collection[Node]) -> bool:
        """Tell whether the replies are all that refutes a first move."""
        attempt = None if self.proof is None or first.move is None else self.proof.attempt(first.move)
        return attempt is not None and attempt.complete and {end.move for end in replies} == set(attempt.refutations)

    def right(self, end: Node) -> bool | None:
        """Tell whether the attacker's move into `end` reaches the aim in time, None where that is not known."""
        if end.mate:
            return True
        if self.plies is None:
            return None
        if end.ply == 1:
            return self.solves(end)
        if end.ply >= self.plies:
            return False
        if self.proof is None or end.move is None:
            return None
        if end not in self._right:
            self._right[end] = self._holds(end)
        return self._right[end]

    def _holds(self, end: Node) -> bool | None:
        """Prove that every reply in `end` is mated in time, with little effort: it is asked of many positions."""
        assert self.plies is not None
        found = refutations(end.board, (self.plies - end.ply) // 2, effort=_EFFORT)
        if found.moves:
            return False
        return found.mated or (True if found.complete and not end.over else None)
