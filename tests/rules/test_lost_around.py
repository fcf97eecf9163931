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
    """Return clauses of ten signs each, "x" placed and "." not understood."""
    spans = [Span(place * WIDTH, (place + 1) * WIDTH) for place in range(len(standings))]
    clauses = [Clause(span, span, Stance.asserted) for span in spans]
    return Account(
        tuple(Entry(each, PLACED if sign == "x" else LEFT) for each, sign in zip(clauses, standings, strict=True))
    )


def lost(rule: str, standings: str, place: int, accused: tuple[int, ...] = ()) -> bool:
    """Tell whether a finding of a rule in the clause at a place is lost."""
    told = account(standings)
    finding = Finding(rule, Level.error, Span(place * WIDTH, place * WIDTH + 2), "so")
    return lost_around(told, finding, None, {told.entries[each].span for each in accused})


@pytest.mark.parametrize(
    ("rule", "standings", "place"),
    [
        ("key-fails", "x..xx.x", 3),  # four of six
        ("key-fails", "xxxx..", 3),  # of what stands beside it two are left
        ("answer-fails", "x....xx", 3),
        ("check-not-mate", "......x", 2),  # a slip that authors make often, and yet
    ],
)
def test_where_little_beside_it_was_placed(rule: str, standings: str, place: int) -> None:
    assert lost(rule, standings, place)


@pytest.mark.parametrize(
    ("rule", "standings", "place"),
    [
        ("key-fails", "xxxxxx.", 3),
        ("key-fails", "..xxxxxxx", 5),  # three on each side are looked at
        ("key-fails", "x.xx", 0),  # the text is too short to say how well it was understood
        ("check-not-mate", "x..x..x", 3),
    ],
)
def test_not_where_most_was(rule: str, standings: str, place: int) -> None:
    assert not lost(rule, standings, place)


def test_what_is_accused_itself_was_understood() -> None:
    assert lost("key-fails", "x..xxx", 3)
    assert not lost("key-fails", "x..xxx", 3, accused=(2,))
