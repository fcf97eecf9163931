"""First moves that are told as tries without a word or sign that calls them so."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator

from keyproof.grammar.clauses import Clause
from keyproof.grammar.lexicon.lexemes import lexemes
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Marker

from ..case.case import Case
from ..reading.reading import Mention, PlacedClaim, Role, State
from .hedges import doubted
from .roots import once

_FAILS = ("fail", "futile")
_BEATEN = (*_FAILS, "refute", "refutes", "beats", "meets", "overlooks")
_REPLIES_COUNTED = ("refutations", "replies")  # kinds of claims
_SAYS = re.compile(r"[ \t]*(?:\[[\d:.]+\][ \t]*)?[\w.-]+(?:[ \t][\w.-]+)?:[ \t]")  # "[21:05] mosselman: Ne4+"


def told_as_a_try(case: Case, mention: Mention | None, *, called: bool = False) -> bool:
    """Tell whether a first move is told with nothing but what refutes it: "1.Bf6+ is bought off by Nxf6".

    `called`: the key, or with an exclamation mark, as only one of several who speak may do of what fails.
    """
    proof, reading = case.proof, case.reading
    if mention is None or proof is None or reading is None or not mention.after:
        return False
    if called and not _is_proposed(case, mention):
        return False
    if not called and _said_to_fail(case, mention):
        return True
    for node in mention.after:
        attempt = None if node.move is None else proof.attempt(node.move)
        refuting = set() if attempt is None else set(node.played(attempt.refutations))
        told = {end for each in reading.mentions if node in each.at for end in each.after}
        answered = any(end.parent in told for each in reading.mentions for end in each.after)
        if not told or not told <= refuting or answered:
            return False
    return True


def left_as_refuted(case: Case, mention: Mention) -> bool:
    """Tell whether a text tells a first move and then a reply, and leaves it at that: "1.Qd1 a3".

    The first move does not solve, nothing answers the reply, and no other is told that refutes: then this one is meant,
    if it is told in the same sentence, or words about it say that something fails.
    """
    reading, proof = case.reading, case.proof
    if mention.role is not Role.defence or proof is None or reading is None:
        return False
    if len(mention.at) != 1 or len(mention.after) != 1 or reading.is_open(mention.phrase.span.start):
        return False
    first, place = mention.at[0], reading.mentions.index(mention)
    told = reading.mentions[place - 1] if place else None
    attempt = None if first.move is None else proof.attempt(first.move)
    if told is None or told.at != [reading.diagram] or told.after != [first] or told.role is Role.key:
        return False
    if attempt is None or not attempt.complete or reading.is_open(told.phrase.span.start):
        return False
    replies = reading.printed_after(first)
    refuted = any(node.move in attempt.refutations for each in replies for node in each.after)
    lost = any(each.state is not State.read for each in (*replies, *reading.printed_after(mention.after[0])))
    if refuted or lost or reading.printed_after(mention.after[0]):
        return False
    return _in_one_sentence(case, told, mention) or _beaten_about(case, told, mention)


def refutations_said(case: Case) -> list[PlacedClaim]:
    """Return what is said falsely of how many replies refute a first move that fails: "has one answer, ...h5"."""
    return once(case, "refutations said", None, lambda: [each for each in _counted(case) if _is_false(case, each)])


def _counted(case: Case) -> Iterator[PlacedClaim]:
    for placed in case.reading.claims if case.reading is not None else ():
        told = placed.mention
        if placed.claim.kind in _REPLIES_COUNTED and told is not None:
            start = placed.claim.span.start
            if not doubted(case, placed.claim.span, min(start, told.phrase.span.start), by_parts=True):
                yield placed


def _is_false(case: Case, placed: PlacedClaim) -> bool:
    """Tell whether not so many replies refute, nor, as the words may mean, are legal, of all men or of the one told."""
    assert placed.mention is not None
    node, reply = placed.nodes[0], placed.mention.after[0].move
    attempt = None if case.proof is None or node.move is None else case.proof.attempt(node.move)
    if attempt is None or not attempt.complete or not attempt.refutations or reply is None:
        return False
    legal = list(node.board.legal_moves)
    own = [move for move in legal if move.from_square == reply.from_square]
    true = len(attempt.refutations) == placed.claim.count and reply in attempt.refutations
    return not true and (placed.claim.kind == "refutations" or placed.claim.count not in (len(legal), len(own)))


def _said_to_fail(case: Case, mention: Mention) -> bool:
    """Tell whether the sentence of a first move, or the next one before another move, says that it does not do."""
    start = mention.phrase.span.end
    return _says(case, Span(start, _next_told(case, start)), _FAILS)


def _beaten_about(case: Case, told: Mention, reply: Mention) -> bool:
    """Tell whether words from a first move to those behind its reply say that one fails to the other."""
    start, end = told.phrase.span.end, reply.phrase.span.end
    return _says(case, Span(start, _next_told(case, end)), _BEATEN)


def _says(case: Case, span: Span, marks: Collection[str]) -> bool:
    return any(lexeme.sense("mark") in marks for lexeme in lexemes(case.masked, span))


def _next_told(case: Case, start: int) -> int:
    """Return where what is told at a place ends: with the next sentence, or where another move begins before."""
    reading = case.reading
    starts = [each.phrase.span.start for each in reading.mentions] if reading is not None else []
    sentences = sorted({each.sentence.end for each in case.clauses if each.sentence.end > start})
    return min([*sentences[1:2], *sentences[-1:], *(place for place in starts if place > start)], default=start)


def _in_one_sentence(case: Case, told: Mention, mention: Mention) -> bool:
    starts = (told.phrase.span.start, mention.phrase.span.start)
    sentences = [each.sentence for each in case.clauses for start in starts if each.span.start <= start < each.span.end]
    return len(sentences) == len(starts) and sentences[0] == sentences[1]


def _is_proposed(case: Case, mention: Mention) -> bool:
    """Tell whether somebody who is named says a first move, and another one is told as the key."""
    reading, start = case.reading, mention.phrase.span.start
    begin = case.masked.rfind("\n", 0, start) + 1
    said = _SAYS.match(case.masked, begin)
    if reading is None or said is None or said.end() > start:
        return False
    keys = (each for each in reading.mentions if each.role is Role.key and each is not mention)
    return any(reading.diagram in each.at and not set(each.after) & set(mention.after) for each in keys)


def called_a_try(case: Case, mention: Mention | None, clause: Clause) -> bool:
    """Tell whether a first move has the sign of a try, or its own sentence calls it one."""
    if mention is None or mention.marked or mention.phrase.annotation.startswith("?"):
        return True
    calls = (each for each in case.statements if isinstance(each, Marker) and each.kind == "try")
    return any(clause.sentence.start <= each.span.start < clause.sentence.end for each in calls)
