"""Words that may tell, beside the moves of a sentence, what answers a first move: "too", "she is lost", "and f7".

They make no frame of their own, since most of them mean something else as often. What refutes a first move is known;
where it is what such words fit, they tell it (rules/reading/walk/looks_back.py).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import lru_cache

from keyproof.grammar.lexicon.lexemes import Lexeme
from keyproof.grammar.lexicon.table import table_of
from keyproof.grammar.spans import Span, span_of
from msgspec.structs import replace

from .values import Frame, Hint, Said

_SOLE = frozenset(("sole", "no other"))  # with replies told beside such words, no others are meant
_ONE = frozenset(("one", "only", "single"))
_KINDS = {"looks back": "back", "is lost": "lost"}


def with_hints(
    found: Iterable[Frame], text: str, spans: Iterable[Span], given: Iterable[Lexeme], tongue: str
) -> list[Frame]:
    """Return frames of which each end of a sentence holds the hints of that sentence, in the order of the text.

    `spans` are the stretches that were cut into the lexemes `given`.
    """
    hints = sorted((*_said(text, spans, tongue), *_of_lexemes(given)), key=lambda hint: hint.span.start)
    told, place = list(found), 0
    for index, frame in enumerate(told):
        if not isinstance(frame, Said) or frame.kind not in ("end", "paragraph"):
            continue
        first = place
        while place < len(hints) and hints[place].span.start < frame.span.start:
            place += 1
        if place > first:
            told[index] = replace(frame, hints=tuple(hints[first:place]))
    return told


def _said(text: str, spans: Iterable[Span], tongue: str) -> Iterator[Hint]:
    expression = _expression(tongue)
    for span in spans:
        for word in expression.finditer(text, span.start, span.end):
            yield Hint(_KINDS[word.lastgroup.replace("_", " ") if word.lastgroup else ""], span_of(word.span()))


@lru_cache(maxsize=16)
def _expression(tongue: str) -> re.Pattern[str]:
    """Return what finds the words of both kinds, each kind as a group, the longest forms first."""
    table = table_of(tongue)
    groups = []
    for category in _KINDS:
        forms = sorted(table.apart.get(category, ()), key=len, reverse=True)
        words = "|".join(re.escape(form).replace("\\ ", r"\s+") for form in forms)
        groups.append(f"(?P<{category.replace(' ', '_')}>{words})")
    return re.compile(rf"(?i)(?<!\w)(?:{'|'.join(groups)})(?!\w)")


def _of_lexemes(given: Iterable[Lexeme]) -> Iterator[Hint]:
    for lexeme in given:
        if "take" in lexeme.categories:
            yield Hint("lost", lexeme.span)
        if lexeme.categories & _SOLE or lexeme.sense("mark") == "only" or _calls_one(lexeme):
            yield Hint("sole", lexeme.span)
        if lexeme.square is not None:
            yield Hint("square", lexeme.span, 1 << lexeme.square)
        elif lexeme.kind == "old" and lexeme.phrase is not None:
            yield Hint("square", lexeme.span, lexeme.phrase.destinations, old=True)


def _calls_one(lexeme: Lexeme) -> bool:
    """Tell whether a form of several words has the number in it: "the one flaw"."""
    words = lexeme.text.lower().split()
    return len(words) > 1 and not _ONE.isdisjoint(words)
