"""Answers to the key that are told of another place as well: set in the diagram, or threatened by the key.

"That mate was waiting in the diagram", "2.Qb2#, which was the threat".
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from keyproof.grammar.cues import Stance
from keyproof.grammar.frames.values import Frame, Move, Said
from msgspec.structs import replace

from ...play.node import Node
from .hypothesis import Hypothesis, Link, Placement
from .meaning import meant_again
from .oracle import Oracle

_READY = frozenset({"set", "was set"})
_BEFORE = _READY | {"at diagram"}
_THREATENED = frozenset({"was threat"})
_LATELY = 8  # frames, at the most, from a reply to what is said of its answer
_LINE = 3  # half-moves of a line: key, reply, answer


def also_set(frame: Frame, at: Hypothesis, set_play: Node | None, oracle: Oracle) -> Hypothesis:
    """Return where the text stands once the line it has just told is told of the diagram too, if it does there."""
    answer = at.answers[-1] if at.answers else None
    if not frame.marks & _READY or frame.stance is not Stance.asserted or set_play is None or answer is None:
        return at
    line = at.frontier[0].path[1:]
    if len(line) != _LINE or not (line[0].move and line[1].move) or answer.ends() != at.frontier or answer.rest:
        return at
    replies, told = _told_of_diagram(answer.starts(), frame, at, set_play)
    mates = [[end for end in meant(node, answer) if oracle.right(end)] for node in replies]
    if told is None or not all(mates):
        return at
    answers = retold(frame, answer, tuple(zip(replies, map(tuple, mates), strict=True)))
    return replace(at, link=Link(Said("again", frame.span), answers, told))


def also_threat(frame: Frame, at: Hypothesis, oracle: Oracle) -> Hypothesis:
    """Return where the text stands once an answer is called the threat: "1...Kb1 2.Qb2#, which was the threat"."""
    answer = at.answers[-1] if at.answers else None
    if not frame.marks & _THREATENED or frame.stance is not Stance.asserted or answer is None or answer.rest:
        return at
    line = at.frontier[0].path[1:]
    if len(line) != _LINE or not (line[0].move and line[1].move) or answer.ends() != at.frontier:
        return at
    passed = line[0].pass_move()
    mates = [] if passed is None else [end for end in meant(passed, answer) if oracle.right(end)]
    if passed is None or not mates:
        return at
    return replace(at, link=Link(Said("again", frame.span), retold(frame, answer, ((passed, tuple(mates)),)), at.link))


def set_mate(frame: Move, at: Hypothesis, set_play: Node | None) -> Iterator[Hypothesis]:
    """Yield where the text stands once a set mate is told beside its reply: "1...a5 2.Qb5# (set: 2.Qd7#)"."""
    numbered = frame.number is None or (frame.number.ply == _LINE and not frame.number.second)
    if set_play is None or not frame.marks & _BEFORE or frame.stance is not Stance.asserted or not numbered:
        return
    lines = [end.path[1:] for end in at.frontier]
    if not all(len(line) == _LINE and line[0].move and line[1].move for line in lines):
        return
    replies, told = _told_of_diagram([line[1] for line in lines], frame, at, set_play)
    for way in frame.ways if told else ():
        ways = [tuple((node, tuple(map(node.play, node.meant(phrase)))) for node in replies) for phrase in way.choices]
        mates = [mates for each in ways for _, mates in each]
        if all(mates) and all(end.mate for each in mates for end in each):
            answer = Placement(frame, way.choices, tuple(ways), way.cost)
            yield replace(at, cost=at.cost + way.cost, link=Link(frame, answer, told))


def _told_of_diagram(
    ends: Iterable[Node], frame: Frame, at: Hypothesis, set_play: Node
) -> tuple[tuple[Node, ...], Link | None]:
    """Return the replies that led to some positions played in the diagram, and the link that tells them there.

    There is none where the reply is not told lately or cannot be played in the diagram.
    """
    reached = dict.fromkeys(ends)  # in their order
    reply = next((each for each in reversed(at.lately(_LATELY)) if reached.keys() <= set(each.ends())), None)
    moves = dict.fromkeys(end.move for end in reached if end.move)
    if reply is None or not all(move in set_play.board.legal_moves for move in moves):
        return (), None
    replies = tuple(map(set_play.play, moves))
    return replies, Link(Said("again", frame.span), retold(frame, reply, ((set_play, replies),)), at.link)


def meant(node: Node, answer: Placement) -> list[Node]:
    """Return where the words of an answer lead to from another position."""
    moves = (move for phrase in answer.phrases for move in node.meant(phrase))
    return [node.play(move) for move in dict.fromkeys(moves)]


def retold(frame: Frame, before: Placement, way: tuple[tuple[Node, tuple[Node, ...]], ...]) -> Placement:
    """Return a move told once more, at another place."""
    told = replace(before.frame, span=frame.span, effects=(), number=None)
    return Placement(told, (meant_again(before.phrases[0], frame.span),), (way,), 0, repeats=True)
