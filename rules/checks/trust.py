"""Which parts of a reading can be trusted, and the account of a puzzle's text that follows."""

from __future__ import annotations

from ..case.case import Case
from ..reading.account import Account, Taken, account
from ..reading.takes import takes


def account_of(case: Case) -> Account:
    """Return the account of one puzzle: all of its chess is not understood where there is no position."""
    doubted = {held.finding.span for held in case.held}
    return account(case.clauses, [*taken(case), *(Taken(span, trusted=False) for span in doubted)])


def taken(case: Case) -> list[Taken]:
    """Return what the reading of a puzzle took from its text; nothing where no position can be played from."""
    if case.reading is None:
        return []
    order = case.stipulation_claim  # no statement of the text where it is told in other words than "mate in two"
    asked = order is not None and any(span.start <= order.span.start < span.end for span in case.puzzle.prose)
    return [*takes(case.statements, case.reading), *([Taken(order.span)] if order is not None and asked else [])]
