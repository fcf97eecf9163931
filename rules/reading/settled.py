"""What a reading leaves open: moves that wait for an answer, and answers that do not do where it puts them."""

from __future__ import annotations

from ..play.node import Node
from .reading import Mention, Reading, Role, State
from .walk.oracle import Oracle

_REPLY = 2  # half-moves from the diagram


def unanswered(reading: Reading, oracle: Oracle) -> list[Mention]:
    """Return the moves of tries and defences that nothing answers, though words may tell what does.

    "1.Qb4? 1.Qe5? Kc6!" tells one refutation of both. What is only asked need not be answered,
    nor what is called the key: if that fails, it is false.
    """
    answered = {node for mention in reading.mentions for node in mention.at}
    return [
        mention
        for mention in reading.mentions
        if mention.state is State.read
        and not mention.asked
        and mention.role is not Role.key
        and mention.after  # else it was not played: "the bishop cannot come to d4"
        and all(node not in answered and _waits(node, oracle) for node in mention.after)
    ]


def failing(reading: Reading, oracle: Oracle) -> list[Mention]:
    """Return the answers that do not reach the aim where the reading puts them: perhaps they stand elsewhere."""
    return [
        mention
        for mention in reading.mentions
        if mention.phrase.exact and any(_answers(node) and oracle.right(node) is False for node in mention.after)
    ]


def _answers(node: Node) -> bool:
    return node.ply > _REPLY and node.ply % 2 == 1 and bool(node.move)


def _waits(node: Node, oracle: Oracle) -> bool:
    first = node.first
    if node.over or first is None or not first.move:
        return False  # without a first move it is told where a man can go
    return oracle.solves(node) is False if node is first else node.ply == _REPLY and oracle.refutes(node) is False
