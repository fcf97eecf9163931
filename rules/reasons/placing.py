"""Which positions a reason may speak of.

A reason stands amid the moves it explains, before them or after, so it may hold at any point of
their line. It is false only where it holds at none.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Break, Man, Reason, Statement, Turn

if TYPE_CHECKING:
    from ..play import Node
    from ..reading import Mention, Reading
    from ..told import Spoken

_ENDS = ("stop", "question", "semicolon", "block")


@dataclass(frozen=True)
class PlacedReason:
    """A reason with every position it may speak of, the likeliest first; none where it cannot be decided.

    `sentence` is the place of the sentence it stands in.
    """

    reason: Reason
    nodes: tuple[Node, ...]
    sentence: Span


def referred(reason: Reason, spoken: Spoken) -> Reason:
    """Return a reason with the men that "it" may mean in it; note those it names."""

    def named(man: Man | None) -> Man | None:
        return replace(man, kinds=spoken.recent()) if man is not None and man.pronoun else man

    found = replace(reason, man=named(reason.man), other=named(reason.other), target=named(reason.target))
    for man in (found.other, found.man):
        if man is not None and not man.pronoun and man.kinds:
            spoken.name(man.kinds[0], man.squares[0] if man.squares else None)
    return found


def place(
    reasons: Iterable[tuple[Reason, list[list[Node]]]], statements: Sequence[Statement], reading: Reading
) -> list[PlacedReason]:
    """Place reasons, each given with the line of play it interrupts, when all moves of the text have been read."""
    found = list(reasons)
    if not found:
        return []
    sentences = list(_sentences(statements))
    placed = []
    for reason, path in found:
        sentence = sentences[bisect_right(sentences, (reason.span.start + 1, 0)) - 1]
        unread = any(_inside(each.span, sentence) for each in reading.not_understood)
        mentions = [each for each in reading.mentions if _inside(each.phrase.span, sentence)]
        unread = unread or any(each.state.value != "read" or each.asked for each in mentions)
        nodes = () if unread else tuple(_nodes(reason, path, mentions, reading))
        placed.append(PlacedReason(reason, nodes, sentence))
    return placed


def _inside(inner: Span, outer: Span) -> bool:
    return outer.start <= inner.start < outer.end


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


def _nodes(reason: Reason, path: list[list[Node]], mentions: list[Mention], reading: Reading) -> Iterator[Node]:
    """Yield the positions of the sentence's moves and of the line before them, none twice."""
    start = reason.span.start
    before = [each for each in reading.mentions if each.phrase.span.start < start]
    last = before[-1:]
    here = [each for each in mentions if each.phrase.span.start < start]
    after = [each for each in mentions if each.phrase.span.start >= start]
    known: set[int] = set()
    for node in _all_of(here[::-1], path, after, last):
        if id(node) not in known:
            known.add(id(node))
            yield node


def _all_of(here: list[Mention], path: list[list[Node]], after: list[Mention], last: list[Mention]) -> Iterator[Node]:
    for mention in here:
        yield from mention.after
    for frontier in reversed(path):
        yield from frontier
    for mention in [*after, *here, *last]:
        for node in [*mention.after, *mention.at]:
            yield from reversed(node.path)
