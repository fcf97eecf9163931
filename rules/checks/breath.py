"""Which printed moves are told in one breath, so that the second is as sure of its place as the first."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence

from keyproof.grammar.clauses import Clause
from keyproof.grammar.spans import Span

from ..reading.reading import Mention, Reading, State

_BEFORE_THE_KEY = re.compile(
    r"\b(?:in\s+the\s+(?:diagram|set\s+play|initial\s+position)|set|originally|before\s+the\s+key)\b", re.I
)
_LEADS = re.compile(_BEFORE_THE_KEY.pattern + r"(?:\s+play)?\s*[:,(–—-]\s*(?:\d\s*\.?\s*)?\Z", re.I)  # "set: 2 Qd7#"

ClauseAt = Callable[[Span], Clause | None]

_BESIDE = 4  # characters between a defence and the answer printed with it
_NEAR = 40  # characters between them where words stand there: "1...a6 attacks the queen, and she takes it, 2.Qxa6"


def of_the_set_play(move: Mention, text: str, clause: Clause) -> bool:
    """Tell whether words before a move that was read after the key say that it is of the set play."""
    path = move.at[0].path if move.at else ()
    after_key = len(path) > 1 and bool(path[1].move)
    start = move.phrase.span.start
    led = _BEFORE_THE_KEY.search(text, clause.span.start, start) or _LEADS.search(text[max(0, start - _NEAR) : start])
    return after_key and led is not None


def in_one_breath(reply: Mention, told: Iterable[Mention], clause_at: ClauseAt) -> bool:
    """Tell whether a reply is printed behind its first move in the same sentence: "1.Qb7+? fails to 1...Kd5!"."""
    clause = clause_at(reply.phrase.span)
    printed = (each for each in told if not each.phrase.worded and (each.turn.number or each.phrase.annotation))
    before = (clause_at(each.phrase.span) for each in printed if each.phrase.span < reply.phrase.span)
    return clause is not None and any(each is not None and each.sentence == clause.sentence for each in before)


def listed(answer: Mention, reading: Reading, clause_at: ClauseAt) -> bool:
    """Tell whether all that a move answers is printed in its sentence, numbered: "1...Ra4 and 1...Rb3 allow 2.Nc3"."""
    clause, start = clause_at(answer.phrase.span), answer.phrase.span.start
    if clause is None:
        return False
    for node in answer.at:
        told = (each for each in reading.printed_into(node) if not each.phrase.worded and each.turn.number)
        if not any(clause.sentence.start <= each.phrase.span.start < start for each in told):
            return False
    return True


def answers(answer: Mention, told: Sequence[Mention], others: Iterable[Mention], clause_at: ClauseAt) -> bool:
    """Tell whether a numbered answer stands behind its defence: at once, or after words of the same sentence.

    `told` are the printed and numbered places of the defence, `others` all moves of the text. What cannot be played
    must stand there at once, since between may be said where it is played: "1...d2, met in the diagram by 2.Qa1#".
    """
    gaps = [answer.turn.span.start - each.turn.span.end for each in told]
    if any(0 <= gap <= _BESIDE for gap in gaps):
        return True
    clause, printed = clause_at(answer.phrase.span), [each.phrase.span for each in others if not each.phrase.worded]
    if clause is None or answer.state is State.impossible:
        return False
    for gap, each in zip(gaps, told, strict=True):
        other = clause_at(each.phrase.span)
        between = any(each.phrase.span < span < answer.phrase.span for span in printed)
        if 0 <= gap <= _NEAR and not between and other is not None and other.sentence == clause.sentence:
            return True
    return False
