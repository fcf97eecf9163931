"""A finding is held back where the reading has lost what stands around it."""

import pytest
from keyproof.grammar.clauses import Clause
from keyproof.grammar.cues import Stance
from keyproof.grammar.spans import Span
from keyproof.rules.checks.around import lost_around
from keyproof.rules.finding import Finding, Level
from keyproof.rules.reading.account import Account, Entry, Standing

PLACED, LEFT = Standing.placed, Standing.not_understood
WIDTH = 10


def account(standings: str) -> Account:
    """Return clauses of ten signs each, "+" placed and "." not understood."""
    spans = [Span(place * WIDTH, (place + 1) * WIDTH) for place in range(len(standings))]
    clauses = [Clause(span, span, Stance.asserted) for span in spans]
    return Account(tuple(map(Entry, clauses, [PLACED if sign == "+" else LEFT for sign in standings])))


def lost(rule: str, standings: str, place: int, accused: tuple[int, ...] = ()) -> bool:
    """Tell whether a finding of a rule in the clause at a place is lost."""
    told = account(standings)
    finding = Finding(rule, Level.error, Span(place * WIDTH, place * WIDTH + 2), "so")
    return lost_around(told, finding, None, {told.entries[each].span for each in accused})


@pytest.mark.parametrize(
    ("rule", "standings", "place"),
    [
        ("key-fails", "+..++.+", 3),  # four of six
        ("key-fails", "++++..", 3),  # of what stands beside it two are left
        ("answer-fails", "+....++", 3),
        ("check-not-mate", "......+", 2),  # a slip that authors make often, and yet
    ],
)
def test_where_little_beside_it_was_placed(rule: str, standings: str, place: int) -> None:
    assert lost(rule, standings, place)


@pytest.mark.parametrize(
    ("rule", "standings", "place"),
    [
        ("key-fails", "++++++.", 3),
        ("key-fails", "..+++++++", 5),  # three on each side are looked at
        ("key-fails", "+.++", 0),  # the text is too short to say how well it was understood
        ("check-not-mate", "+..+..+", 3),
        ("not-only-move", "+..+..+", 3),
        ("gives-no-flight", "+..+..+", 3),
    ],
)
def test_not_where_most_was(rule: str, standings: str, place: int) -> None:
    assert not lost(rule, standings, place)


def test_what_is_accused_itself_was_understood() -> None:
    assert lost("key-fails", "+..+++", 3)
    assert not lost("key-fails", "+..+++", 3, accused=(2,))


def test_a_printed_answer_behind_its_printed_defence_stands_by_that() -> None:
    told = account("++..+.++")
    finding = Finding("answer-fails", Level.error, Span(4 * WIDTH, 4 * WIDTH + 2), "so")
    assert lost_around(told, finding, None, set())
    assert not lost_around(told, finding, None, set(), paired=True)
