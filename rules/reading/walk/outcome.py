"""What the walk has found as a Reading, which the rules take."""

from __future__ import annotations

from collections.abc import Iterable

import chess
from keyproof.grammar.frames.build import frames as framed
from keyproof.grammar.frames.values import Stance
from keyproof.grammar.lexicon.lexemes import lexemes
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Turn

from ...play.node import Node
from ...proof.proof import Proof
from ..reading import Mention, Reading, Role, State
from .attach import KEY, REFUTE, TRY
from .hypothesis import Placement
from .oracle import Oracle
from .walk import Walk


def read_walk(
    text: str, prose: Iterable[Span], board: chess.Board, shift: int, proof: Proof | None, plies: int | None,
    letters: dict[str, int] | None = None,
) -> Reading:  # fmt: skip
    """Read the prose of a puzzle as the cheapest walk from its diagram."""
    diagram = Node(board, shift=shift)
    reading = Reading(diagram, diagram.pass_move())
    oracle = Oracle(proof, plies)
    given = [frame for span in prose for frame in framed(text, lexemes(text, span, letters=letters))]
    best = Walk(diagram, oracle).best(given)
    placements = best.placements()
    told = {end for each in placements if not each.rest for end in each.ends()}
    left: dict[int, list[Node]] = {}  # what words for the rest stand for in the end, by placement
    for placement in placements:
        for phrase, ways in zip(placement.phrases, placement.ways, strict=True):
            if placement.rest:
                ways = [(start, [end for end in ends if end not in told]) for start, ends in ways]
                left.setdefault(id(placement), []).extend(end for _, ends in ways for end in ends)
            elif placement.source is not None and id(placement.source) in left:
                known = dict(ways)
                ways = [
                    (start, known.get(start) or [start.play(move) for move in start.meant(phrase)])
                    for start in left[id(placement.source)]
                ]
            reading.mentions.append(_mention(placement, phrase, ways, reading, oracle))
    reading.false = [p.frame.span for p in best.placements() if p.false and p.frame.stance.name=='asserted']  # type: ignore
    reading.settle()
    return reading


def _mention(placement: Placement, phrase, ways, reading: Reading, oracle: Oracle) -> Mention:  # type: ignore[no-untyped-def]
    frame = placement.frame
    turn = Turn(frame.span, frame.number, placement.phrases, frame.effects)
    state = State.impossible if placement.illegal else State.read
    role = _role(placement, reading, oracle)
    found = Mention(phrase, turn, role, state, [(node, list(ends)) for node, ends in ways], frame.marks, ())
    found.effects = (*phrase.effects, *frame.effects)
    found.marked = bool(frame.marks & (KEY | TRY))
    found.asked = frame.stance not in (Stance.asserted, Stance.denied)
    return found


def _role(placement: Placement, reading: Reading, oracle: Oracle) -> Role:
    start, frame = placement.starts()[0], placement.frame
    if start is reading.diagram:
        if frame.marks & KEY:
            return Role.key
        if frame.marks & TRY:
            return Role.try_
        ends = placement.ends()
        return Role.key if ends and oracle.solves(ends[0]) else Role.try_ if frame.stance is not Stance.asserted else Role.first
    attacks = start.board.turn == reading.diagram.board.turn
    if start.move is not None and not start.move:
        return Role.threat if attacks else Role.set_play
    if attacks:
        return Role.answer
    return Role.refutation if frame.marks & REFUTE else Role.defence
