"""How much of what stands around a finding was placed: where the reading has lost the text, it accuses nobody."""

from collections.abc import Set

from keyproof.grammar.spans import Span

from ..case.case import Case
from ..finding import Finding
from ..reading.account import Account, Standing
from ..reading.reading import Mention, State

_BESIDE = 3  # clauses before and as many behind
_FEWEST = 4  # clauses of a text that is too short to say how well it was understood
_MOST = 0.7  # the part of them that must be placed before a slip is believed that authors seldom make
_NUMBERED = 0.6  # the same of a move with its number, which says where it stands
_SOME = 0.25  # the same of a slip they make often
_ALL = 1.0  # the same of words for an answer of which nobody says what it does: it may be one to anything

_OFTEN = frozenset(
    (
        "check-not-mate",
        "further-refutation",
        "gives-no-flight",
        "king-into-check",
        "mate-denied",
        "mate-without-check",
        "not-guarded",
        "not-only-move",
        "not-pinned",
        "pinned-man-moves",
        "refutation-fails",
        "wrong-flights",
        "wrong-number-of-mates",
        "wrong-origin",
        "wrong-piece-count",
    )
)
"""Together they found the author wrong eighteen times for each time that the reading was, in texts by strangers."""

_TELLS_NOTHING = frozenset(("answer-fails", "threat-fails"))


def lost_around(
    account: Account, finding: Finding, mention: Mention | None, accused: Set[Span], *, paired: bool = False
) -> bool:
    """Tell whether so little of the clauses beside a finding was placed that the reading is rather wrong than the text.

    What is `accused` itself counts as placed. Behind a `mention` that could not be played nothing can be placed. One
    that is `paired` with the move it answers, both printed, goes astray only with that, whatever is remarked beside it.
    """
    at = next((index for index, entry in enumerate(account.entries) if entry.span.end > finding.span.start), None)
    if at is None:
        return False
    played = mention is None or (mention.state is State.read and bool(mention.after))
    behind = account.entries[at + 1 : at + 1 + _BESIDE] if played else ()
    beside = [*account.entries[max(0, at - _BESIDE) : at], *behind]
    lost = sum(entry.standing is not Standing.placed and entry.span not in accused for entry in beside)
    numbered = mention is not None and mention.turn.number is not None
    may_be_lost = max(int(numbered), (1 - (_SOME if paired else _part(finding, mention))) * len(beside))
    return account.total > _FEWEST and lost > may_be_lost


def passed_beside(case: Case, finding: Finding) -> bool:
    """Tell whether its own clause has words for a move that found no place: "2.Ra8 mates when it has been taken"."""
    entry, reading = case.account.at(finding.span.start), case.reading
    if entry is None or reading is None or entry.standing is Standing.placed:
        return False
    passed = (span for span in reading.passed if span not in reading.named and not span.overlaps(finding.span))
    return any(entry.span.start <= span.start < entry.span.end for span in passed)


def _part(finding: Finding, mention: Mention | None) -> float:
    """Return the part of the clauses beside a finding that must be placed."""
    if finding.rule in _OFTEN:
        return _SOME
    if mention is not None and mention.turn.number is not None:
        return _NUMBERED
    worded = mention is not None and mention.phrase.worded
    return _ALL if worded and finding.rule in _TELLS_NOTHING else _MOST
