"""Squares to which the man told last goes farther than before: "one square further: c7", "a step beyond, to g4"."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from keyproof.grammar.lexicon.lexemes import Lexeme
from msgspec.structs import replace

from .values import Frame, Move, Who

_SMALL = frozenset({"to", "at", "filler"})
_SOFT = ("comma", "colon", "dash", "line")


def with_onward(found: Iterable[Frame], given: Sequence[Lexeme]) -> list[Frame]:
    """Return frames; a square without a man behind words that measure a way is said of the man told last."""
    return [_told(each, given) if isinstance(each, Move) and each.bare else each for each in found]


def _told(frame: Move, given: Sequence[Lexeme]) -> Move:
    before = [each for each in given if each.span.end <= frame.span.start]
    while before and "onward" not in before[-1].categories:
        if before[-1].kind not in _SOFT and not before[-1].categories & _SMALL:
            return frame
        before.pop()
    measured = len(before) > 1 and "unit" in before[-2].categories
    if not measured or frame.verb not in ("", "go") or frame.who is not None:
        return frame
    return replace(frame, who=Who(before[-1].span, pronoun="it"), bare=False, verb="go")
