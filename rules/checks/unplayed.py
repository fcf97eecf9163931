"""Whether an answer is told as one that is not there, or does not mate: "1...h4 takes the sting out of 2.Re4".

A move printed in such a sentence is no claim of the author's, and most of them he knows to fail.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from keyproof.grammar.clauses import Clause, Doubt
from keyproof.grammar.spans import Span

from ..case.case import Case
from ..finding import Finding
from ..reading.account import Taken, left_open
from ..reading.reading import Mention, Reading, State

_OF_MATE = frozenset(("answer-fails", "check-not-mate", "mate-without-check", "threat-fails", "no-check"))
_IMPLIED = frozenset(("answer-fails", "threat-fails"))  # nothing but its place says that the move should mate


def told_as_unplayed(
    case: Case, finding: Finding, mention: Mention, clause: Clause, taken: Sequence[Taken]
) -> tuple[Span, ...] | None:
    """Return the words for which an answer may be told as none, None if it is told as one.

    `clause` is that of the answer. No words are needed where a reply is told to what should be the last half-move.
    """
    reading, asked = case.reading, case.stipulation
    assert reading is not None
    if not mention.at or mention.at[0].ply == 0 or mention.at[0].board.turn != reading.diagram.board.turn:
        return None
    if finding.rule == "move-possible":
        return (finding.span,) if not all(node.mate for node in mention.after) else None  # "is ruled out": as no mate
    if finding.rule not in _OF_MATE:
        return None
    last = asked is not None and mention.at[0].ply + 1 == asked.plies
    if last and finding.rule in _IMPLIED and any(_replied(reading, mention)):
        return ()
    behind = [each for each in case.clauses if each.sentence == clause.sentence and each.span.start > clause.span.start]
    idle = [each for each in behind if not each.holds_chess]
    before = [word for word in clause.doubted(Doubt.against | Doubt.parries) if _right_behind(word, mention, reading)]
    after = [
        word
        for each in (clause, *idle)
        for word in each.doubted(Doubt.against)
        if word.start >= mention.phrase.span.start
    ]
    words = before + after
    if finding.rule in _IMPLIED and not mention.phrase.worded:
        words += [*clause.doubted(Doubt.strange), *left_open(clause, taken)]
    held = [each.span for each in taken if each.span.overlaps(mention.phrase.span)]
    return tuple(word for word in words if not any(word.overlaps(span) for span in held)) or None


def _right_behind(word: Span, mention: Mention, reading: Reading) -> bool:
    """Tell whether a move is the first that stands behind a word."""
    start = mention.phrase.span.start
    return word.end <= start and not any(word.end <= each.phrase.span.start < start for each in reading.mentions)


def _replied(reading: Reading, mention: Mention) -> Iterable[bool]:
    return (each.state is State.read for node in mention.after for each in reading.printed_after(node))
