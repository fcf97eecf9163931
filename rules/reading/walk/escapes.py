"""Mating moves that are considered and given up, with the reply that escapes: "2.Qg5+ would be met by Nxg5"."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from keyproof.grammar.cues import Stance
from keyproof.grammar.frames.values import Move, Said

from ...play.node import Node
from .at_once import tried
from .attach import REFUTE, says_mate
from .hypothesis import Hypothesis, Placement
from .oracle import Oracle

_TELLS_WHY = REFUTE | {"then", "but", "because"}


def escapes(frame: Move, start: Node, at: Hypothesis, oracle: Oracle) -> bool:
    """Tell whether a reply says why the move right before it, with which mate is due, does not mate."""
    told = at.last
    if told is None or start.ply != oracle.plies or start not in told.ends() or not _in_its_line(told, at):
        return False
    return _gives_up(told, frame, oracle) or (
        _takes_back(frame, told) and not (at.sentence_over or says_mate(told.frame))
    )


def _in_its_line(told: Placement, at: Hypothesis) -> bool:
    """Tell whether a move is plainly none of the first: by its number, or told in one breath with what it answers."""
    if told.frame.number is not None and told.frame.number.ply is not None:
        return told.frame.number.ply > 1
    link = at.link
    while link is not None and link.placement is not told:
        link = link.before
    link = None if link is None else link.before
    while link is not None and isinstance(link.frame, Said) and link.frame.kind not in ("end", "paragraph"):
        link = link.before
    return link is not None and link.placement is not None and set(told.starts()) <= set(link.placement.ends())


def given_up(told: list[Placement], oracle: Oracle) -> Iterator[Move]:
    """Yield the moves that should mate and are given up, as the reply that escapes is told right behind them."""
    for move, reply in pairwise(told):
        due = move.ends() and move.ends()[0].ply == oracle.plies and set(reply.starts()) <= set(move.ends())
        if due and (_gives_up(move, reply.frame, oracle) or _takes_back(reply.frame, move)):
            yield move.frame


def _gives_up(told: Placement, reply: Move, oracle: Oracle) -> bool:
    if says_mate(told.frame) or reply.stance is Stance.denied:
        return False
    would = reply.stance is Stance.supposed or told.frame.modal  # "Nb5+ would only drive the king to b3"
    why = would or bool(reply.marks & _TELLS_WHY) or tried(told)
    return why and all(oracle.right(end) is False for end in told.ends())


def _takes_back(reply: Move, told: Placement) -> bool:
    """Tell whether it is told that the man that has just moved is taken: "(2.Qg5+ Nxg5)"."""
    squares = {end.move.to_square for end in told.ends() if end.move}
    return any(
        (phrase.capture or phrase.captures_last) and phrase.destination in squares for phrase in reply.ways[0].choices
    )
