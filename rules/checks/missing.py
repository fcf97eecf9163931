"""Whether what a text seems to leave out may stand in words of it that were not understood."""

from __future__ import annotations

import re

from ..case.case import Case
from ..finding import Finding, Level
from ..reading.account import Standing

_SQUARE = re.compile(r"[a-h][1-8]")


def may_stand_unread(case: Case, finding: Finding) -> bool:
    """Tell whether words that name a square, and were put nowhere, may tell what a finding says is left out.

    Where the text says that nothing is left out, words for none of the squares that are reached cannot.
    """
    entries = case.account.entries
    lost = [e for e in entries if e.standing is Standing.not_understood and e.clause.names_a_square]
    left = [] if case.reading is None else [*case.reading.passed]
    if finding.level is not Level.error or finding.evidence is None:
        return bool(left or lost)
    squares = {found[-1] for move in finding.evidence.moves if (found := _SQUARE.findall(move))}
    told = [span.of(case.masked).lower() for span in (*left, *(entry.span for entry in lost))]
    return len(squares) < len(finding.evidence.moves) or any(square in words for words in told for square in squares)
