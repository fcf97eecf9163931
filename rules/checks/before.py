"""What stands in a text before a finding and was not understood: it may tell what the finding is really about."""

from collections.abc import Set

from keyproof.grammar.clauses import Clause
from keyproof.grammar.spans import Span

from ..case.case import Case
from ..reading.account import Account, Standing
from ..reading.reading import Mention, Reading


def past_unread(reading: Reading | None, mention: Mention, account: Account) -> bool:
    """Tell whether a clause that was not understood stands right before a move of some line.

    It may tell what the move is really played after: "1.Rxa5? c5! Either capture on c7? a4!". One without a square
    counts before an answer only, and in a sentence before: in one sentence the answer follows its defence.
    """
    if reading is None or not mention.at or not mention.at[0].path[1:]:
        return False
    start = mention.phrase.span.start
    before = max((each.phrase.span.end for each in reading.mentions if each.phrase.span.end <= start), default=start)
    entries = [each for each in account.entries if before <= each.span.start and each.span.end <= start]
    unread = [each.clause for each in entries if each.standing is not Standing.placed]
    inside = account.at(start)
    apart = [each for each in unread if inside is None or each.sentence != inside.clause.sentence]
    return any(each.names_a_square for each in unread) or (mention.at[0].ply > 1 and bool(apart))


def begun_in_the_dark(clause: Clause, account: Account, accused: Set[Span]) -> bool:
    """Tell whether the clause before, in the same sentence, was not placed and is not what is accused."""
    before = [
        entry
        for entry in account.entries
        if entry.clause.sentence == clause.sentence and entry.span.start < clause.span.start
    ]
    return bool(before) and before[-1].standing is not Standing.placed and before[-1].span not in accused


def right_behind_the_key(case: Case, place: int) -> bool:
    """Tell whether words stand right behind a move that solves, with no other chess between, and are read so.

    Nothing else that the text tells, understood or not, may then be what is said to threaten nothing.
    """
    before = [each for each in case.reading.mentions if each.phrase.span.end <= place] if case.reading else []
    if not before or case.proof is None or len(before[-1].after) != 1:
        return False
    key = before[-1].after[0]
    said = [each for each in case.reading.claims if each.claim.span.start == place] if case.reading else []
    if key.ply != 1 or key.move not in case.proof.keys or any(each.nodes[:1] != (key,) for each in said):
        return False
    end, here = before[-1].phrase.span.end, case.account.at(place)
    return all(each is here for each in case.account.entries if end <= each.span.start < place)
