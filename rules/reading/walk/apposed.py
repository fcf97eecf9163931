"""Vague words and the exact ones right behind them that tell one move: "the rook drops into the corner, rook to h8"."""

from __future__ import annotations

from keyproof.grammar.cues import Stance
from keyproof.grammar.frames.values import Move
from keyproof.grammar.moves import MovePhrase
from msgspec.structs import replace

from ...play.node import Node
from .hypothesis import Hypothesis, Link, Placement
from .meaning import Taken, is_of_others, is_rest

_LEADS = frozenset({"if"})


def apposed(frame: Move, at: Hypothesis) -> Placement | None:
    """Return the move told just before in vague words, where exact ones say that it is another than it was taken for.

    Of what such words may mean that is chosen which does what it is to do. In one breath, the same man and his square
    say which is meant, be it true or not; a move that goes on from there, or is beside it ("or"), says nothing of it.
    """
    told = None if at.link is None else at.link.placement
    if told is None or not told.frame.vague or told.rest or told.illegal or told.frame.marks & _LEADS:
        return None
    phrases = frame.ways[0].choices
    plain = not (frame.vague or frame.bare or frame.marks or frame.uncovered) and frame.number is None
    if not plain or frame.stance is not Stance.asserted or len(phrases) != 1 or len(told.phrases) != 1:
        return None
    if phrases[0].piece is None or is_rest(told.phrases[0]) or is_of_others(told.phrases):
        return None
    goes_on = any(node.meant(phrases[0]) for node in at.frontier)
    among = all(_is_among(phrases[0], told, start) for start in told.starts())
    return told if among and not goes_on else None


def _is_among(phrase: MovePhrase, told: Placement, start: Node) -> bool:
    """Tell whether exact words mean, at a position, some of what vague ones may, but nothing they were taken for."""
    exact, taken = set(start.meant(phrase)), {end.move for end in told.ends() if end.parent is start}
    vague = {move for way in told.frame.ways for each in way.choices for move in start.meant(each)}
    return bool(exact) and exact <= vague and not exact & taken


def taken_back(told: Placement, at: Hypothesis, each: Taken) -> Hypothesis:
    """Return where the text stood before its last move, whose words are now those for what exact ones mean.

    The key stays known, if it is what the vague words were taken for: the lines that follow may be its own.
    """
    ends, before = set(told.ends()), None if at.link is None else at.link.before
    echo = Placement(told.frame, told.phrases, each.ways, 0, echo=True)
    return replace(
        at,
        frontier=told.starts(),
        link=Link(told.frame, echo, before, known=True),
        firsts=at.firsts[:-1] if told.starts()[0].parent is None else at.firsts,
        closed=False,
        answers=tuple(one for one in at.answers if one is not told),
        refutations=tuple(one for one in at.refutations if one is not told),
        threat=None if at.threat is told else at.threat,
        told=at.told - ends,
        waiting=0,
    )
