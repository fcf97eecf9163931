"""What a move just told tells of other places as well: of the diagram, of a threat, of replies that waited for it."""

from __future__ import annotations

import chess
from keyproof.grammar.cues import Stance
from keyproof.grammar.frames.values import Frame, Said
from msgspec.structs import replace

from ...play.node import Node
from .hypothesis import Hypothesis, Link, Placement
from .oracle import Oracle
from .ready import also_set, also_threat, meant, retold

_LATELY = 8  # frames, at the most, from a reply to an answer that is told behind another one
_LINE = 3  # half-moves of a line: key, reply, answer


def told_besides(frame: Frame, at: Hypothesis, set_play: Node | None, oracle: Oracle) -> Hypothesis:
    """Return where the text stands with all that its last move tells of other places."""
    return also_waiting(frame, also_threat(frame, also_set(frame, at, set_play, oracle), oracle), oracle)


def also_waiting(frame: Frame, at: Hypothesis, oracle: Oracle) -> Hypothesis:
    """Return where the text stands once an answer is given to replies before the last: "Nd5. Ng2. On these queen g7".

    They were told one behind the other, nothing has answered them, and it mates there too.
    """
    answer = at.answers[-1] if at.answers else None
    if answer is None or len(at.answers) > 1 or answer.rest or answer.repeats or answer.ends() != at.frontier:
        return at
    if len(at.frontier[0].path) != _LINE + 1 or not all(oracle.right(end) for end in at.frontier):
        return at
    waiting = _waiting(at, answer, at.frontier[0].board.turn)
    pairs = [(node, tuple(end for end in meant(node, answer) if oracle.right(end))) for node in waiting]
    ways = tuple(pair for pair in pairs if pair[1])
    if not ways or frame.stance is Stance.denied:
        return at
    return replace(at, link=Link(Said("again", frame.span), retold(frame, answer, ways), at.link))


def _waiting(at: Hypothesis, answer: Placement, defender: chess.Color) -> list[Node]:
    """Return the replies told right before those that were answered, which nothing has answered."""
    before = at.lately(_LATELY)[:-1]
    answered, found = set(answer.starts()), list[Node]()
    for told in reversed(before):
        start = told.starts()[0]
        if start.board.turn != defender or start.parent is None or not start.move or told.illegal or told.rest:
            break
        if told.frame.vague or len(told.ends()) != len(told.phrases):
            break  # "should it try to run past"
        if start.ply != 1 or start is not answer.starts()[0].parent:
            break
        found += [end for end in told.ends() if end not in answered]
    return found
