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
