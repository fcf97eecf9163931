"""Men who end a list of moves, of whom nothing is told: "refuted by Ke6, Kd5 and the a-pawn"."""

from __future__ import annotations

from collections.abc import Sequence

from keyproof.grammar.lexicon.lexemes import Lexeme

from .drafts import finished
from .values import Draft, Frame, Move, Said, Who

_SOFT = ("comma", "line")
_ENDS = ("stop", "question", "semicolon", "colon", "close", "dash", "cell")
_CALLED = frozenset({"refute", "was refute"})
_SMALL = frozenset({"link", "article", "filler", "mark", "our", "own"})


def with_joined_men(found: Sequence[Frame], given: Sequence[Lexeme], text: str) -> list[Frame]:
    """Return frames with a move that a man may make who is joined to a list of moves and ends it."""
    told = list(found)
    for place in range(1, len(told)):
        before, frame = told[place - 1], told[place]
        if not (isinstance(frame, Said) and frame.kind == "topic" and isinstance(before, Move)):
            continue
        who = frame.who
        if who is None or not _is_plain(who) or before.who is not None or before.vague or before.stance != frame.stance:
            continue
        if _joins(before, frame, given) and _ends(frame, given):
            draft = Draft(frame.span.start, frame.span.end, who=who, every=True, listed=True, stance=frame.stance)
            draft.marks = set(before.marks & _CALLED)
            told[place] = finished(draft, text, ())
    return told


def _is_plain(who: Who) -> bool:
    return bool(who.kinds) and who.square is None and not (who.plural or who.indefinite or who.other)


def _joins(before: Move, topic: Said, given: Sequence[Lexeme]) -> bool:
    """Tell whether "and" or "or", and small words besides, stand between a move and a man."""
    between = [each for each in given if before.span.end <= each.span.start and each.span.end <= topic.span.start]
    linked = any(each.sense("link") in ("and", "or") for each in between)
    return linked and all(each.kind in _SOFT or each.categories & _SMALL for each in between)


def _ends(topic: Said, given: Sequence[Lexeme]) -> bool:
    """Tell whether nothing is said of a man behind his name, but what all of the list do."""
    behind = next((each for each in given if each.span.start >= topic.span.end and each.kind not in _SOFT), None)
    told = behind is None or behind.kind in _ENDS
    return told or (behind is not None and "each" in behind.categories) or _refutes(behind)


def _refutes(lexeme: Lexeme | None) -> bool:
    return lexeme is not None and lexeme.sense("mark") in ("refutes", "together")
