"""Remarks that speak of several puzzles in one breath: "Rc5 is killed by Kb3. Qh6+ by Kg8, Qf8+ by Kh5".

They are cut into clauses, and each is given to the puzzle on which it can be played, where it names none.
"""

import re
from collections.abc import Iterator, Mapping, Sequence

from keyproof.grammar.spans import Span
from keyproof.grammar.traces import PRINTED_MOVE

from .naming import Naming
from .pricing import Pricing

SWITCH = 2  # of the puzzle from one clause to the next
NAMED = 16  # another puzzle than a clause names

_SENTENCE = re.compile(r"(?<=[.!?;])[ \t]+")
_OPENS = re.compile(r"[^\W\d_]{2,}(?=[\s,.;:'’])|\d{1,4}[:)]|1\s?\.(?!\s?\.)")  # words, or a first move
_CLAUSE = re.compile(r"(?<=[,])[ \t]+|[ \t]+(?=(?:and|but|while|whereas)\b)")


def dealt_by_play(
    masked: str, remark: Span, said: Mapping[str, int], names: Naming, pricing: Pricing, open_to: Sequence[int]
) -> list[tuple[int, Span]]:
    """Return the clauses of a remark, those of one puzzle that follow each other as one, each with its puzzle.

    `said` are words beside it that belong to one puzzle: who repeats them speaks of that one.
    """
    parts = list(clauses(masked, remark))
    if not any(PRINTED_MOVE.search(masked, *clause) for clause in parts) or not open_to:
        return []
    costs = dict.fromkeys(open_to, 0)
    trail: list[dict[int, int]] = []
    for clause in parts:
        named = names.of_text(clause, None)
        if named is None:
            named = next((index for words, index in said.items() if _repeats(clause.of(masked), words)), None)
        cheapest = min(costs, key=costs.__getitem__)
        back = {index: index if costs[index] <= costs[cheapest] + SWITCH else cheapest for index in open_to}
        entered = {index: costs[back[index]] + SWITCH * (back[index] != index) for index in open_to}
        costs = {
            index: entered[index] + pricing.of(clause, index)[0] + NAMED * (named in costs and named != index)
            for index in open_to
        }
        trail.append(back)
    index = min(costs, key=costs.__getitem__)
    owners = []
    for back in reversed(trail):
        owners.append(index)
        index = back[index]
    return _together(list(zip(reversed(owners), parts, strict=True)))


def _repeats(clause: str, words: str) -> bool:
    return re.search(rf"(?<!\w){re.escape(words)}(?!\w)", clause) is not None


def clauses(masked: str, remark: Span, *, lists: bool = True) -> Iterator[Span]:
    """Yield the sentences of a stretch, and their clauses where each of two has a move.

    Unless they are `lists` of what single moves meet with, moves that follow each other stay together.
    """
    for sentence in _cut(masked, remark, _SENTENCE, lists=lists):
        place = sentence.start
        for clause in _cut(masked, sentence, _CLAUSE, lists=lists):
            behind = Span(clause.end, sentence.end)
            if PRINTED_MOVE.search(masked, place, clause.end) and PRINTED_MOVE.search(masked, *behind):
                yield Span(place, clause.end)
                place = clause.end + len(behind.of(masked)) - len(behind.of(masked).lstrip())
        if place < sentence.end:
            yield Span(place, sentence.end)


def _cut(masked: str, span: Span, at: re.Pattern[str], *, lists: bool) -> Iterator[Span]:
    place = span.start
    for gap in at.finditer(masked, *span):
        if gap.start() > place and (lists or _OPENS.match(masked, gap.end()) is not None):
            yield Span(place, gap.start())
            place = gap.end()
    if place < span.end:
        yield Span(place, span.end)


def _together(dealt: Sequence[tuple[int, Span]]) -> list[tuple[int, Span]]:
    found: list[tuple[int, Span]] = []
    for index, span in dealt:
        if found and found[-1][0] == index:
            found[-1] = index, found[-1][1].to(span)
        else:
            found.append((index, span))
    return found
