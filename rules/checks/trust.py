"""The account of a puzzle's text, what was held back among what it doubts."""

from __future__ import annotations

from keyproof.grammar.spans import Stretches
from msgspec.structs import replace

from ..case.case import Case
from ..reading.account import Account, Taken, account


def account_of(case: Case) -> Account:
    """Return the account of one puzzle: all of its chess is not understood where there is no position."""
    doubted = {held.finding.span for held in case.held}
    raised = () if case.reading is None else case.reading.raised
    if not (doubted or raised):
        return case.account
    sure = Stretches(raised)
    taken = [replace(each, trusted=True) if sure.hold(each.span.start) else each for each in case.taken]
    return account(case.clauses, [*taken, *(Taken(span, trusted=False) for span in doubted)])
