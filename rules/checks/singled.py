"""Whether what is asked, or what a text tells next, says which of several moves is meant."""

from __future__ import annotations

from collections.abc import Sequence

import chess

from ..case.case import Case
from ..play.node import Node


def singled(case: Case, node: Node, moves: Sequence[chess.Move]) -> bool:
    """Tell whether just one of some moves from a position solves, or just one has what is told next behind it."""
    return _solving(case, node, moves) == 1 or _continued(case, node, moves) == 1


def _solving(case: Case, node: Node, moves: Sequence[chess.Move]) -> int:
    """Count the moves among some that solve from a position, 0 where nothing is asked or the other side moves."""
    reading = case.reading
    if reading is None or node.board.turn != reading.diagram.board.turn:
        return 0
    if node is reading.diagram:
        proof = case.proof or (case.likely[0] if case.likely is not None and case.stipulation is None else None)
        return 0 if proof is None else len({*proof.keys}.intersection(moves))
    return len({*case.mating_moves(node).lengths}.intersection(moves)) if case.direct else 0


def _continued(case: Case, node: Node, moves: Sequence[chess.Move]) -> int:
    """Count the moves among some after which what is told next can be played."""
    if case.reading is None:
        return 0
    told = [
        (at, ends) for move in moves for each in case.reading.printed_after(node.play(move)) for at, ends in each.ways
    ]
    return len({at for at, ends in told if ends and at.parent is node})
