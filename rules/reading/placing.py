"""Which positions a reason may speak of.

A reason stands amid the moves it explains, before them or after, so it may hold at any point of
their line. It is false only where it holds at none.
"""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from operator import attrgetter

import chess
from keyproof.grammar.moves import Effect
from keyproof.grammar.spans import Span, Stretches
from keyproof.grammar.statements import Aside, Break, Marker, Reason, Statement, Turn

from ..play.node import Node
from .anchors import after_key, named_position
from .of_moves import moves_meant, names_a_move
from .reading import Mention, PlacedReason, Reading
from .referents import bound

_NO_LONGER_EARLIER = re.compile(r"\b(?:still|now)\b", re.I)  # that it was so in the diagram is not what is said
_ENDS = ("stop", "question", "semicolon", "block")


def place(
    reasons: Iterable[tuple[Reason, list[list[Node]]]], statements: Sequence[Statement], reading: Reading
) -> list[PlacedReason]:
    """Place reasons, each given with the line of play it interrupts, when all moves of the text have been read."""
    found = list(reasons)
    if not found:
        return []
    sentences = list(_sentences(statements))
    told = _Told(statements, reading)
    placed = []
    for reason, path in found:
        sentence = _around(sentences, reason.span.start)
        mentions = told.mentions(sentence)
        before = told.last_before(reason.span.start)
        near = [each for last in before for each in told.mentions(_around(sentences, last.phrase.span.start))]
        nodes = tuple(_nodes(reason, path, mentions, near)) or (reading.diagram,)
        if nodes[0].ply and _NO_LONGER_EARLIER.search(reason.text):
            nodes = tuple(node for node in nodes if node.ply)
        here = told.statements(sentence)
        meant = bound(reason, [node for mention in before for node in mention.after])
        if meant is None:
            continue
        if meant is not reason:
            reason = meant
            nodes = tuple(_later(reason, before, mentions))
        if names_a_move(reason):
            nodes = tuple(moves_meant(reason, sentence, told.statements(sentence, more=1), reading.mentions))
        since = Span(min([sentence.start, *(each.phrase.span.end for each in before)]), sentence.end)
        anchor = after_key(sentence, here, reading) if told.has_key else None
        anchor = anchor or named_position(reason, here, mentions, reading.diagram)
        if anchor is not None and not names_a_move(reason):
            placed.append(PlacedReason(reason, (anchor,), sentence, True, anchored=True))
            continue
        of_key = any(map(_names_key, here))
        sure = (
            bool(nodes)
            and all(map(_read, mentions))
            and not told.gap(since, nodes[0].board)
            and told.settled(nodes, reason.span.start, of_key)
        )
        placed.append(PlacedReason(reason, nodes, sentence, sure))
    return placed


class _Told:
    """What a text tells around its reasons, found by place: a text may give as many reasons as it has moves."""

    def __init__(self, statements: Sequence[Statement], reading: Reading) -> None:
        self._mentions = sorted(reading.mentions, key=attrgetter("phrase.span"))
        self._statements = sorted(statements, key=attrgetter("span.start"))
        self._turns = [each for each in self._statements if isinstance(each, Turn)]
        self._lost = sorted(each.span.start for each in reading.not_understood)
        self._read = Stretches(mention.phrase.span for mention in (*reading.mentions, *reading.parries))
        keys = [mention for mention in reading.mentions if mention.role.name == "key"]
        self.has_key = bool(keys)
        self._first_key = keys[0].phrase.span.start if keys else 0
        self._keys = {node for mention in keys for node in mention.after}
        self._tries = {node for each in reading.mentions if each.role.name == "try_" for node in each.after}
        firsts = (each for each in reading.mentions if each.role.name == "first" and each.phrase.exact)
        self._firsts = {node for each in firsts for node in each.after}

    def mentions(self, place: Span) -> list[Mention]:
        """Return the mentions in a stretch of the text."""
        start, end = (bisect_left(self._mentions, each, key=attrgetter("phrase.span.start")) for each in place)
        return self._mentions[start:end]

    def last_before(self, offset: int) -> list[Mention]:
        """Return the last mention before a place, if there is one."""
        end = self._before(offset)
        return self._mentions[max(0, end - 1) : end]

    def _before(self, offset: int) -> int:
        return bisect_left(self._mentions, offset, key=attrgetter("phrase.span.start"))

    def statements(self, place: Span, *, more: int = 0) -> list[Statement]:
        """Return the statements in a stretch of the text, and so many `more` after it."""
        start, end = (bisect_left(self._statements, each, key=attrgetter("span.start")) for each in place)
        return self._statements[start : end + more]

    def gap(self, since: Span, board: chess.Board) -> bool:
        """Tell whether a move that is told in a stretch of text was not understood or passed over.

        What words say of a move that has led to `board` ("the king goes to c1", of castling) is no gap.
        """
        start, end = (bisect_left(self._turns, each, key=attrgetter("span.start")) for each in since)
        passed = [
            phrase
            for turn in self._turns[start:end]
            if not turn.bare_square
            for phrase in turn.choices
            if phrase.destination is not None
            and not _denied(phrase.effects + turn.effects)
            and not self._read.hold(phrase.span.start)
        ]
        if any(board.piece_type_at(each.destination) != each.piece for each in passed if each.destination is not None):
            return True
        lost, beyond = (bisect_left(self._lost, each) for each in since)
        return lost < beyond

    def settled(self, nodes: Sequence[Node], start: int, of_key: bool) -> bool:
        """Tell whether the line of the likeliest position begins with the key, or (not `of_key`) with a try.

        Before the key is told a first move of which nothing is claimed is a try as well; after it, it may be misread.
        `start` is the offset of the reason.
        """
        firsts = [node for node in nodes[0].path[1:2] if node.move]
        early = self.has_key and start < self._first_key
        return (bool(firsts) or not of_key) and all(
            node in self._keys or (not of_key and (node in self._tries or (early and node in self._firsts)))
            for node in firsts
        )


def _sentences(statements: Sequence[Statement]) -> Iterator[Span]:
    """Yield the places of the sentences; a numbered move on a line of its own begins another."""
    start, line_ended = 0, False
    for statement in statements:
        if isinstance(statement, Break):
            line_ended = statement.kind == "line"
            if statement.kind in _ENDS:
                yield Span(start, statement.span.end)
                start = statement.span.end
        else:
            if line_ended and isinstance(statement, Turn) and statement.number is not None:
                yield Span(start, statement.span.start)
                start = statement.span.start
            line_ended = False
    yield Span(start, max(start, statements[-1].span.end))


def _around(sentences: Sequence[Span], offset: int) -> Span:
    """Return the sentence in which a place lies."""
    return sentences[bisect_right(sentences, (offset + 1, 0)) - 1]


def _read(mention: Mention) -> bool:
    found = bool(mention.after) or mention.says(Effect.denied) is not None
    return mention.state.value == "read" and found and not mention.asked


def _denied(effects: Iterable[tuple[Effect, Span]]) -> bool:
    return any(effect is Effect.denied for effect, _ in effects)


def _names_key(statement: Statement) -> bool:
    """Tell whether words speak of the key, which may be told only further down: "the key gives the king a flight"."""
    if isinstance(statement, Aside):
        return re.search(r"\b(?:key|solution)\b", statement.text, re.I) is not None
    return isinstance(statement, Marker) and statement.kind in ("key", "was_key")


def _nodes(reason: Reason, path: list[list[Node]], mentions: list[Mention], last: list[Mention]) -> Iterator[Node]:
    """Yield the positions of the sentence's moves, of the line before them and of the `last` sentence, none twice."""
    here = [each for each in mentions if each.phrase.span.start < reason.span.start]
    after = [each for each in mentions if each.phrase.span.start >= reason.span.start]
    known: set[int] = set()
    for node in _all_of(here[::-1], path, after, last):
        if id(node) not in known:
            known.add(id(node))
            yield node


def _later(reason: Reason, last: list[Mention], mentions: list[Mention]) -> Iterator[Node]:
    """Yield the positions after the last move before a reason, and after those that go on from it in its sentence."""
    moved = [node for mention in last for node in mention.after]
    yield from moved
    for mention in mentions:
        if mention.phrase.span.start >= reason.span.start:
            yield from (node for node in mention.after if any(each in moved for each in node.path))


def _all_of(here: list[Mention], path: list[list[Node]], after: list[Mention], last: list[Mention]) -> Iterator[Node]:
    for mention in here:
        yield from mention.after
    for frontier in reversed(path):
        yield from frontier
    for mention in [*after, *here, *last]:
        for node in [*mention.after, *mention.at]:
            yield from reversed(node.path)
