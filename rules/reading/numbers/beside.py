"""Which positions a number of mates speaks of that stands beside no move it calls the only one."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence

import chess

from ...play.node import Node
from ..reading import Mention
from .forms import Count
from .words import Row, start_of


def is_passed(mention: Mention) -> bool:
    """Tell whether a move is told as if the other side had passed."""
    return all(node.move is not None and not node.move for node in mention.at)


class Beside:
    """The moves around the words of one text."""

    def __init__(self, told: Sequence[Mention], attacker: chess.Color) -> None:
        self._told, self._attacker = told, attacker

    def answers(self, mention: Mention) -> bool:
        """Tell whether a move is one by which the attacker answers."""
        return all(node.board.turn == self._attacker and node.ply for node in mention.at)

    def positions(self, given: Row, count: Count) -> Sequence[Node]:
        """Return the positions in which so many moves are said to mate.

        Behind an answer only one may be meant of it: "that makes six mates" counts those of several defences.
        """
        following = next(
            (given.moves[at] for at in range(count.last + 1, len(given.letters)) if at in given.moves), None
        )
        start = given.first(count.first)
        if following is not None and self.answers(following) and self._leads(given, count):
            return self.narrowed(following.at, start) if is_passed(following) == count.threat else ()
        if count.threat:
            return self._threatening(start)
        before = [given.moves[at] for at in range(count.first) if at in given.moves]
        if not before:
            return ()
        if self.answers(before[-1]):
            return before[-1].at if count.number is None and not is_passed(before[-1]) else ()
        return self.narrowed([node for node in before[-1].after if node.board.turn == self._attacker], start)

    @staticmethod
    def _leads(given: Row, count: Count) -> bool:
        """Tell whether nothing but signs and what leads on stands between a number and the next move."""
        behind = given.letters[count.last + 1 :]
        return set(behind[: behind.index("M")]) <= set("~=Lb,:(-")

    def _threatening(self, start: int) -> Sequence[Node]:
        """Return the positions in which threats are counted: where the next one is played, or after a first move.

        A first move is meant only where nothing is told between it and the words.
        """
        here = bisect_left(self._told, start, key=start_of)
        following = self._told[here] if here < len(self._told) else None
        if following is not None and is_passed(following) and self.answers(following):
            return following.at
        before = self._told[here - 1] if here else None
        passes = [node.pass_move() for node in before.after if node.ply == 1] if before is not None else []
        return [node for node in passes if node is not None]

    def narrowed(self, nodes: Sequence[Node], start: int) -> Sequence[Node]:
        """Return those of some positions to which the last printed move before a place leads, all if there are none."""
        here = bisect_left(self._told, start, key=start_of)
        before = (self._told[place] for place in range(here - 1, -1, -1))
        last = next((each for each in before if each.phrase.exact), None)
        own = set(last.after) & set(nodes) if last is not None and not last.phrase.worded else set()
        return [node for node in nodes if node in own] or nodes
