"""The account of a puzzle's text, what was held back among what it doubts."""

from __future__ import annotations

from ..case.case import Case
from ..reading.account import Account, Taken, account


def account_of(case: Case) -> Account:
    """Return the account of one puzzle: all of its chess is not understood where there is no position."""
    doubted = {held.finding.span for held in case.held}
    if not doubted:
        return case.account
    return account(case.clauses, [*case.taken, *(Taken(span, trusted=False) for span in doubted)])
