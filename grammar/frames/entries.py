"""Tables of what solvers handed in: a head of replies behind a column of first moves, among columns of other things.

| desk | first move | Kd5 | Ke5 | points |          a row tells its first move, its answers
| 1    | Qb2        | Qa2 | Qb3 | 5      |          and what is remarked on them
"""

from __future__ import annotations

from collections.abc import Sequence

from keyproof.grammar.lexicon.lexemes import Lexeme
from keyproof.grammar.spans import Span

from .cells import Cell, Lines, Row, answers, defends, holds_play, replied, tells_nothing

_FEWEST = 2  # replies that make a head of them


def by_entries(rows: Sequence[Row]) -> tuple[Lines, int] | None:
    """Return what such a table tells line by line, and how many rows stand below its head; None where it is none."""
    heads = rows[0]
    replies = [column for column, head in enumerate(heads) if defends(head)]
    if len(replies) < _FEWEST or replies[0] == 0 or replies[-1] - replies[0] >= len(replies):
        return None
    if any(holds_play(head) for column, head in enumerate(heads) if column not in replies):
        return None
    first = replies[0] - 1
    lines: Lines = []
    taken = 0
    for row in rows[1:]:
        if len(row) != len(heads) or not answers(row[first]):
            break
        lines += _entry(heads, row, replies)
        taken += 1
    return (lines, taken) if taken else None


def _entry(heads: Row, row: Row, replies: Sequence[int]) -> Lines:
    """Return the lines of a row; a remark stands behind the last of them, or behind the first move."""
    key = row[replies[0] - 1]
    told = [[replied(heads[column]), row[column]] for column in replies if answers(row[column])]
    remarks = [cell for cell in row[replies[-1] + 1 :] if not tells_nothing(cell)]
    if not told:
        return [[key, *_parted(remarks)]]
    return [[key], *told[:-1], [*told[-1], *_parted(remarks)]]


def _parted(remarks: Sequence[Cell]) -> list[Cell]:
    """Return remarks, each a sentence of its own."""
    return [[Lexeme("comma", Span(remark[0].span.start, remark[0].span.start), ","), *remark] for remark in remarks]
