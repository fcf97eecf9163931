"""Whether what is told of a move can be so anywhere in the play that a text speaks of.

Words taken amiss mean a move that is played elsewhere, and there it is right: what can be played at no position of the
text, nor after any reply there, is the author's slip, however little of the rest was understood.
"""

from __future__ import annotations

from collections.abc import Iterator

from ..case.case import Case
from ..play.node import Node
from ..reading.account import Account, Standing
from ..reading.reading import Mention, State, effect_holds
from .roots import once

_MOST = 4000  # positions looked at; where there are more, nothing is known
_UNASKED = 4  # half-moves of what nobody has said the length of


def holds_nowhere(case: Case, mention: Mention) -> bool:
    """Tell whether a move cannot be played, with all that is said of it, at any position told or one move later.

    Only of a move with its square; False where that would take too many positions to find out.
    """
    if case.reading is None or mention.phrase.destination is None or not mention.at:
        return False
    told: list[Node] = once(case, "told", None, lambda: list(_told(case)))
    if any(_holds(mention, node) for node in told):
        return False
    plies = case.stipulation.plies if case.stipulation is not None else _UNASKED
    looked_at = 0
    for node in told:
        if node.ply >= plies - 1 or node.over:
            continue
        for move in node.board.legal_moves:
            looked_at += 1
            if looked_at > _MOST or _holds(mention, node.play(move)):
                return False
    return True


def follows_placed(told: Account, offset: int) -> bool:
    """Tell whether the clause that ends before a place of the text was placed, so that the play was followed to there.

    `told` is the account of the text.
    """
    before = [entry for entry in told.entries if entry.span.end <= offset]
    return bool(before) and before[-1].standing is Standing.placed


def _told(case: Case) -> Iterator[Node]:
    """Yield the positions a text speaks of, none twice, and those after a pass where a first move was made."""
    reading = case.reading
    assert reading is not None
    read = [mention for mention in reading.mentions if mention.state is State.read]
    nodes = [reading.diagram, reading.set_play, *(node for each in read for node in (*each.at, *each.after))]
    for node in dict.fromkeys(nodes):
        if node is not None:
            yield node
            if node.ply == 1 and node.move and (idle := node.pass_move()) is not None:
                yield idle


def _holds(mention: Mention, node: Node) -> bool:
    moves = node.meant(mention.phrase)
    return any(all(effect_holds(effect, node.play(move)) for effect, _ in mention.effects) for move in moves)
