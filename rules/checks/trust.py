"""The account of a puzzle's text, what was held back among what it doubts."""

from __future__ import annotations

from collections.abc import Collection

from keyproof.grammar.spans import Span, Stretches
from msgspec.structs import replace

from ..case.case import Case
from ..reading.account import Account, Taken, account
from .roots import once


def account_of(case: Case) -> Account:
    """Return the account of one puzzle: all of its chess is not understood where there is no position."""
    return _account(case, {held.finding.span for held in case.held})


def account_borne_out(case: Case) -> Account:
    """Return the account in which counts as placed what nobody asserts and what follows bears out, nothing held."""
    return once(case, "account borne out", None, lambda: _account(case, ()))


def _account(case: Case, doubted: Collection[Span]) -> Account:
    raised = () if case.reading is None else case.reading.raised
    if not (doubted or raised):
        return case.account
    sure = Stretches(raised)
    taken = [replace(each, trusted=True) if sure.hold(each.span.start) else each for each in case.taken]
    return account(case.clauses, [*taken, *(Taken(span, trusted=False) for span in doubted)])
