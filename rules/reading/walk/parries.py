"""Replies to a threat that is not told again, for which a defence is played: "Bc1, and it could jump in at g5"."""

from __future__ import annotations

from collections.abc import Iterator

import chess
from keyproof.grammar.cues import Stance
from keyproof.grammar.frames.values import Move
from keyproof.grammar.moves import Effect, MovePhrase
from msgspec.structs import replace

from ...play.node import Node
from .attach import FAIL, KEY, REFUTE, THREAT, TRY
from .hypothesis import Hypothesis, Link, Placement
from .oracle import Oracle
from .threats import Threats

_SOLUTION = 60  # frames that the play behind one first move may take, at the most
_LEADS = KEY | TRY | REFUTE | {"if", "set", "was set", "ready", "at diagram"}
_Ways = tuple[tuple[Node, tuple[Node, ...]], ...]


class Parries:
    """Plays what would answer a threat behind a defence, where the proof says that it does."""

    def __init__(self, oracle: Oracle) -> None:
        self.oracle = oracle
        self.threats = Threats(oracle)

    def of(self, frame: Move, at: Hypothesis) -> Iterator[Hypothesis]:
        """Yield where the text stands once a reply is told that would answer threats: where it stood before."""
        if not self._led(frame, at):
            return
        nodes = tuple(node for defence in self._defences(at) for node in self.threats.behind(defence, _told(at)))
        for way in frame.ways if nodes else ():
            ways = tuple(self._answers(frame, phrase, nodes, at) for phrase in way.choices)
            if all(ways):
                cost = way.cost + frame.cost
                placement = Placement(frame, way.choices, ways, cost, supposed=True)
                yield replace(at, cost=at.cost + cost, link=Link(frame, placement, at.link))

    def _led(self, frame: Move, at: Hypothesis) -> bool:
        """Tell whether a move is told as one that would be possible, or one more is of that kind."""
        if (
            frame.number is not None
            or frame.marks & (_LEADS - FAIL if frame.opened else _LEADS)
            or frame.idle
            or frame.alone
        ):
            return False
        if any(effect is Effect.mate for effect, _ in frame.effects):
            return False
        told = None if at.link is None else at.link.placement
        more = told is not None and told.supposed and (frame.listed or frame.bare or bool(frame.marks & {"or", "and"}))
        stance = frame.stance in (Stance.asserted, Stance.supposed)
        led = frame.modal or frame.aside or frame.opened or "because" in frame.marks
        ready = bool(frame.marks & THREAT) and not frame.vague  # "1...Rh4 prepares to interpose at d4"
        given_up = frame.vague and _misses_mate(frame, at)  # "1...Bf5 2.Rxf5#: the king just takes her"
        return stance and (led or ready or more or given_up)

    def _defences(self, at: Hypothesis) -> tuple[Node, ...]:
        """Return the replies of the line at hand behind which mate is due."""
        return tuple(dict.fromkeys(found for end in at.frontier if (found := self.threats.defence(end)) is not None))

    def _answers(self, frame: Move, phrase: MovePhrase, nodes: tuple[Node, ...], at: Hypothesis) -> _Ways:
        pairs = ((node, self._moves(frame, phrase, node, at)) for node in nodes)
        return tuple((node, tuple(node.play(move) for move in moves)) for node, moves in pairs if moves)

    def _moves(self, frame: Move, phrase: MovePhrase, node: Node, at: Hypothesis) -> list[chess.Move]:
        """Return the moves meant at a supposed position that only what was played there makes possible."""
        defence = node.parent
        assert defence is not None
        assert defence.move is not None
        assert defence.parent is not None
        assert node.move is not None
        taken, before = node.move.to_square, defence.parent.board.legal_moves
        moves = [move for move in node.meant(phrase) if move.to_square == taken or move not in before]
        if phrase.destination is None and _speaks_of_mate(phrase, at):
            return []
        if phrase.destination is None:
            moves = [move for move in moves if move.to_square == taken and (phrase.capture or phrase.captures_last)]
        if phrase.piece is not None or phrase.origin_file is not None or len(moves) <= 1:
            return moves
        king = node.board.king(node.board.turn)
        moved = defence.move.to_square
        he = frame.opened or (frame.who is not None and frame.who.pronoun == "he")
        first = king if he else moved
        kind = at.kinds[node.board.turn]
        for origins in ({first}, set(node.board.pieces(kind, node.board.turn)) if kind else set()):
            if kept := [move for move in moves if move.from_square in origins]:
                return kept
        return moves


def _told(at: Hypothesis) -> Iterator[Node]:
    return (end for placement in at.lately(_SOLUTION) for end in placement.ends())


def _misses_mate(frame: Move, at: Hypothesis) -> bool:
    """Tell whether a man would be taken that is not the one that mates where the text stands."""
    phrases = [phrase for way in frame.ways for phrase in way.choices]
    told = all(phrase.captured is not None and not _speaks_of_mate(phrase, at) for phrase in phrases)
    return told and frame.who is not None and not frame.marks & THREAT and all(end.mate for end in at.frontier)


def _speaks_of_mate(phrase: MovePhrase, at: Hypothesis) -> bool:
    """Tell whether the man that would be taken may be the one that mates where the text stands: "he'd love to"."""
    mates = [end.board.piece_type_at(end.move.to_square) for end in at.frontier if end.mate and end.move]
    return bool(mates) and (phrase.captured is None or phrase.captured in mates)
