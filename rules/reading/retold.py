"""Statements of tables in the order they are told in, where that is not the order they are printed in.

"Kd5 | Ke5" over "Qa2# | Qb3#" tells two lines of play, and no reader goes along the rows.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from functools import lru_cache

from keyproof.grammar.frames.tables import Retold, retold
from keyproof.grammar.letters import LANGUAGES
from keyproof.grammar.lexicon.lexemes import lexemes
from keyproof.grammar.lexicon.tongues import told_in
from keyproof.grammar.scan import statements as scan
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Break, Marker, NotUnderstood, Statement, Turn
from msgspec.structs import replace

_COLUMNS = re.compile(r"\S[ \t]{3,}\S|\|")


def told_statements(text: str, prose: Sequence[Span]) -> tuple[list[Statement], str]:
    """Return the statements of a text, those of its tables in the order of what is told there, and its language."""
    found, language = _told(text, tuple(prose))
    return list(found), language


@lru_cache(maxsize=64)  # a puzzle may be set up again, with more orders
def _told(text: str, prose: tuple[Span, ...]) -> tuple[list[Statement], str]:
    found, language = scan(text, prose)
    if not any(_COLUMNS.search(text, *span) for span in prose):
        return found, language
    tongue, letters = told_in(text, prose, LANGUAGES[language])
    for table in retold(lexemes(text, span, tongue, letters) for span in prose):
        found = _retold(found, table)
    return found, language


def _retold(given: Sequence[Statement], table: Retold) -> list[Statement]:
    start, end = table.region
    first = next((at for at, each in enumerate(given) if each.span.start >= start), len(given))
    last = next((at for at in range(first, len(given)) if given[at].span.start >= end), len(given))
    told: list[Statement] = []
    for line in table.lines:
        for cell in line:
            told += [each for each in given[first:last] if cell.start <= each.span.start < cell.end]
        told.append(Break("stop", Span(line[-1].end, line[-1].end)))
    told = _less_signs(told)
    places = {each.span for each in told}
    left = [each for each in given[first:last] if not isinstance(each, Break | Marker) and each.span not in places]
    moves = any(isinstance(each, Turn | NotUnderstood) for each in left)
    return list(given) if moves else [*given[:first], *left, *told, *given[last:]]


def _less_signs(told: Sequence[Statement]) -> list[Statement]:
    """Leave out the signs of a defence that stands for several phases: it may be check in one of them only."""
    times = Counter(each.span for each in told if isinstance(each, Turn))
    return [
        replace(each, choices=tuple(replace(choice, effects=()) for choice in each.choices))
        if isinstance(each, Turn) and times[each.span] > 1
        else each
        for each in told
    ]
