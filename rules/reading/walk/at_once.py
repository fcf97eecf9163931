"""Moves printed right behind the one they answer: whoever prints them so means no other place, be it true or not."""

from __future__ import annotations

import chess
from keyproof.grammar.frames.values import Move, Said

from ...play.node import Node
from .hypothesis import Hypothesis, Placement

_PARTS = frozenset({"close", "slash"})  # signs behind which a move may answer an earlier one
_KEY = frozenset({"key"})


def tried(told: Placement) -> bool:
    """Tell whether a move is printed as a try: "1.Qb7?"."""
    return any(_questioned(phrase.annotation) for phrase in told.phrases)


def answers_at_once(frame: Move, at: Hypothesis, diagram: Node, plies: int | None) -> bool:
    """Tell whether a move is printed right behind the one it answers: "1...Kd5 2.Qe4", "1.Qb7? Kd5!".

    `plies` is the number of half-moves after which the aim is due, None where there is none.
    """
    told = _before(frame, at)
    if told is None:
        return False
    number, front = frame.number, at.frontier[0]
    near, apart = _near(frame), bool(frame.signs) or frame.signs is None or number is not None or frame.listed
    if front.over:
        return not apart and not _means(frame, front.path[:-1])
    if front.board.turn == diagram.board.turn:
        if number is None:
            return frame.signs == ("dash",)
        return near and number.ply == front.ply + front.shift + 1
    if front.ply > 1:
        return number is None and not (apart or frame.listed) and _goes_on(frame, front, plies)
    if any(_questioned(phrase.annotation) for phrase in frame.ways[0].choices):
        return False
    mine, his = _means(frame, (diagram,)), _means(frame, at.frontier)
    if not tried(told):
        return told.frame.number is not None and not apart and ((his and not mine) or _called_the_key(told))
    refutes = any(phrase.annotation.startswith("!") for phrase in frame.ways[0].choices)
    if number is not None:
        return number.second and (near or refutes)
    return near and (not mine if refutes else his)


def _goes_on(frame: Move, front: Node, plies: int | None) -> bool:
    """Tell whether a reply deeper in a line can be none to what was played before, so that it is false or none."""
    if front.move is not None and any(phrase.en_passant for phrase in frame.ways[0].choices):
        return front.board.piece_type_at(front.move.to_square) == chess.PAWN
    due = plies is not None and front.ply >= plies
    return not (due or _means(frame, front.path))


def misnumbered(frame: Move, at: Hypothesis) -> bool:
    """Tell whether a number is a slip, if the move is played from where it is printed: "1...Kd5 3.Qe4" in two moves.

    Words that lead from the one to the other bind them as well: "if 1...Kd5 then 3.Qe4".
    """
    told = _before(frame, at)
    if told is None or (told.frame.number is None and at.frontier[0].ply == 1):
        return False
    number, front = frame.number, at.frontier[0]
    if number is None or number.ply is None or number.ply <= 1 or number.second is front.board.turn:
        return False
    if any(number.ply == node.ply + node.shift + 1 and _means(frame, (node,)) for node in front.path):
        return False  # "2.Rg8 is met by Nxg8, so he mates with 2.Bg7"
    return (_near(frame) or "then" in frame.marks) and not at.closed


def retold(frame: Move, at: Hypothesis) -> Placement | None:
    """Return the move told last, where it is printed again: "2.Rb5 is mate. The move 2.Rb5 gives double check"."""
    told, number = at.last, frame.number
    if told is None or number is None or told.frame.number is None or told.frame is frame:
        return None
    here, there = (
        [(phrase.text, phrase.destination) for phrase in each.ways[0].choices] for each in (frame, told.frame)
    )
    return told if here == there and number.ply == told.frame.number.ply else None


def _before(frame: Move, at: Hypothesis) -> Placement | None:
    """Return the printed move right before a printed one, if the text stands behind it."""
    link = at.link
    while frame.signs is not None and link is not None and isinstance(link.frame, Said) and link.frame.kind == "end":
        link = link.before  # no word stands between
    told = None if link is None else link.placement
    if told is None or not frame.printed or not set(told.ends()) & set(at.frontier):
        return None
    if not (told.frame.printed or (told.frame.bare and not told.frame.vague)):  # a square is a pawn's move
        return None
    return told


def _near(frame: Move) -> bool:
    """Tell whether nothing but signs and its number stands between a move and the one printed before it."""
    return frame.signs is not None and _PARTS.isdisjoint(frame.signs)


def _means(frame: Move, nodes: tuple[Node, ...] | list[Node]) -> bool:
    return any(node.meant(phrase) for node in nodes for phrase in frame.ways[0].choices)


def _called_the_key(told: Placement) -> bool:
    return bool(told.frame.marks & _KEY) or any(phrase.annotation.startswith("!") for phrase in told.phrases)


def _questioned(sign: str) -> bool:
    return sign.startswith("?")
