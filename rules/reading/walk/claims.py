"""Where claims and reasons in words stand in the play that the walk has found."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Sequence

from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Claim, NotUnderstood, Reason, Statement, Topic, Turn

from ...play.node import Node
from ..placing import place
from ..reading import Mention, PlacedClaim, Reading
from ..referents import referred
from ..told import Spoken
from .hypothesis import Hypothesis

_BEFORE = 12  # statements before a reason in which the man it speaks of may be named
_ABOUT_ALL = ("count", "stipulation", "side_to_move")
_LEADS_ON = ("is", ":", ",")  # how the words for the only move end if that is told next
_STOPS = re.compile(r"[.!?;](?=\s)|\n[^\S\n]*\n")
_IT_IS = re.compile(r"[.!]?\s*(?:(?:and|but|so)\s+)?(?:it|this|that)(?:['’]s|\s+is)\s*", re.I)


class Claims:
    """Puts what the statements of a text claim and give as reasons where the text stands when they are said."""

    def __init__(self, text: str, found: Reading, best: Hypothesis) -> None:
        self.text, self.found, self.best = text, found, best
        named = (each for each in best.placements() if each.frame.idle)  # the other men a pawn could become
        self.idle = frozenset(phrase.span for each in named for phrase in each.phrases)

    def place(self, statements: Sequence[Statement]) -> None:
        """Add the claims and reasons of `statements` to the reading, and what is no move for anybody."""
        found, spoken, reasons = self.found, Spoken(), []
        for index, statement in enumerate(statements):
            if isinstance(statement, Turn):
                spoken.refer(statement)
            elif isinstance(statement, Topic):
                spoken.note(statement, self.found.diagram.board)
            elif isinstance(statement, NotUnderstood):
                if not any(mention.phrase.span.overlaps(statement.span) for mention in found.mentions):
                    found.not_understood.append(statement)
            elif isinstance(statement, Reason):
                before = statements[max(0, index - _BEFORE) : index]
                reasons.append((referred(statement, spoken, before), self._path(statement.span)))
            elif isinstance(statement, Claim) and (claim := self._placed(statement)) is not None:
                found.claims.append(claim)
        found.reasons = place(reasons, statements, found)

    def _placed(self, claim: Claim) -> PlacedClaim | None:
        if claim.kind == "only_move":
            mention = self._only(claim)
            return None if mention is None else PlacedClaim(claim, (), mention)
        nodes = self._nodes(claim, self._path(claim.span))
        return PlacedClaim(claim, tuple(nodes)) if nodes else None

    def _only(self, claim: Claim) -> Mention | None:
        """Return the move that is called the only one: the next of its sentence, or the one before."""
        at = self._index(claim.span)
        mentions = self.found.mentions
        if claim.text.lower().rstrip().endswith(_LEADS_ON):
            following = mentions[at] if at < len(mentions) else None
            between = "" if following is None else self.text[claim.span.end : following.phrase.span.start]
            return None if _STOPS.search(between) else following
        before = mentions[at - 1] if at else None
        if before is None:
            return None
        between = self.text[before.phrase.span.end : claim.span.start]
        return before if _IT_IS.fullmatch(between) or not _STOPS.search(between) else None

    def _index(self, span: Span) -> int:
        return bisect_left(self.found.mentions, span.start, key=lambda each: each.phrase.span.start)  # in text order

    def _path(self, span: Span) -> list[list[Node]]:
        """Return the line of play that the text has told before a place of it."""
        diagram = self.found.diagram
        for mention in reversed(self.found.mentions[: self._index(span)]):  # words for the rest may stand for no move
            place = mention.phrase.span
            if place in self.idle and _STOPS.search(self.text[place.end : span.start]):
                continue  # "A queen would not do. The new knight guards g6"
            if ends := mention.after or mention.at:
                return [*([node] for node in ends[0].path[:-1]), ends]
        return [[diagram], [self.best.key]] if self.best.key is not None else [[diagram]]

    def _nodes(self, claim: Claim, path: list[list[Node]]) -> list[Node]:
        attacker = self.found.diagram.board.turn
        if claim.kind in _ABOUT_ALL:
            return []
        if claim.kind in ("zugzwang", "no_threat"):
            waiting = (
                frontier
                for frontier in reversed(path[1:])
                if frontier[0].board.turn != attacker and frontier[0].move and not frontier[0].over
            )
            return next(waiting, [])
        if claim.kind == "complete":
            return path[1] if len(path) > 1 else []
        if claim.kind == "no_castling" and len(path) > 1 and _castles(path[-1][0]):
            return path[-2]  # whoever has castled cannot do so again
        return path[-1]


def _castles(node: Node) -> bool:
    parent, move = node.parent, node.move
    return parent is not None and move is not None and parent.board.is_castling(move)
