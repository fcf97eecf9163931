"""What a text prints of a position: moves, threats, and what the first move of a line is called."""

from __future__ import annotations

import chess

from ..case.case import Case
from ..play.node import Node
from ..reading.reading import Mention, Role


def passed(node: Node) -> Node | None:
    """Return the position before the pass if a pass leads to `node`, else None."""
    return node.parent if node.move is not None and not node.move else None


def first_move_role(case: Case, node: Node) -> Role | None:
    """Say whether `node` lies in the play after a key, a try or in the set play."""
    first = node.first
    if first is None or case.reading is None:
        return None
    if first is case.reading.set_play:
        return Role.set_play
    for role in (Role.key, Role.try_):
        if first in case.reading.first_moves(role):
            return role
    return Role.first


def printed_moves(mentions: list[Mention], node: Node) -> set[chess.Move | None]:
    """Return the moves that these mentions make from `node`."""
    return {child.move for mention in mentions for at, nodes in mention.ways if at is node for child in nodes}


def printed_threats(case: Case, node: Node) -> set[chess.Move]:
    """Return the threats that the text prints after a first move."""
    threats: set[chess.Move] = set()
    for mention in case.reading.mentions if case.reading else ():
        if mention.role is Role.threat and any(passed(at) is node for at in mention.at):
            threats |= {child.move for child in mention.after if child.move is not None}
    return threats


def shown_threats(case: Case, node: Node) -> set[chess.Move]:
    """Return the threats that the lines of a game file show after a first move: what answers some reply, and a pass.

    Its notation has no move for Black that does nothing, so a threat is shown by a reply that does not meet it.
    """
    waiting = None if case.reading is None or case.puzzle.play is None else node.pass_move()
    if case.reading is None or waiting is None:
        return set()
    answers = [each for each in case.reading.mentions if each.role is Role.answer]
    shown = {after.move for each in answers for at, ends in each.ways if at.parent is node for after in ends}
    return {move for move in case.mating_moves(waiting).lengths if move in shown}
