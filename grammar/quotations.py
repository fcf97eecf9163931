"""What a text puts in quotation marks: what somebody else said, and what shall be read in the place of that."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from .lexicon.lexemes import Lexeme
from .spans import Span

_QUOTATION = re.compile(r"[\"“„][^\"“„”]{3,400}[\"”“](?!;[ \t]*(?:\n|\Z))")  # what somebody else said; no EPD field
_TALK = 4  # quotations that make a talk of a text
_MOST = 0.6  # the part of it that they must be
_DOCKED = re.compile(r"^.*?(?:[ \t]{2}|\|[ \t]*)[-–−][ \t]?\d{1,2}(?=[ \t]{2}|[ \t]*\|)", re.M)
_PRINTED = ("move", "number", "square", "sign")
_REPLACES = frozenset(("link", "doubt"))  # categories of "for" and "instead of"
_NEAR = 3  # characters between "read" and what shall be read


def said_by_others(text: str, span: Span, told: Iterable[Sequence[Lexeme]]) -> list[Span]:
    """Return what stands between quotation marks and is not the author's word; `told` are the sentences of a block.

    Nothing is where people talk who do the solving: '"F2!" "Why?"'. Of 'for "2.Qb7" read "2.Qc4"' the second is his.
    """
    told = list(told)
    found = [Span(*each.span()) for each in _QUOTATION.finditer(text, *span)]
    wrong = [misprint for sentence in told for misprint in replaced(sentence)]
    talk = len(found) >= _TALK and sum(each.end - each.start for each in found) > _MOST * (span.end - span.start)
    if talk or not found:
        return wrong
    right = [place for sentence in told for place in _put_right(sentence, found)]
    return [*wrong, *(each for each in found if not any(0 <= each.start - place <= _NEAR for place in right))]


def replaced(sentence: Sequence[Lexeme]) -> Iterator[Span]:
    """Yield the moves that others are to be read for, without quotation marks, and the word before: "for 2.Qb7"."""
    for place, word in enumerate(sentence):
        if "corrects" not in word.categories:
            continue
        first = place
        while first and (sentence[first - 1].kind in _PRINTED or "effect" in sentence[first - 1].categories):
            first -= 1
        if 0 < first < place and sentence[first - 1].categories & _REPLACES:
            yield sentence[first - 1].span.to(sentence[place - 1].span)


def _put_right(sentence: Sequence[Lexeme], quoted: Sequence[Span]) -> Iterator[int]:
    """Yield the ends of words that tell what to read in the place of a quotation before them in their sentence."""
    for word in sentence:
        if "corrects" not in word.categories:
            continue
        if any(sentence[0].span.start <= each.start and each.end <= word.span.start for each in quoted):
            yield word.span.end


def docked(text: str, span: Span) -> list[Span]:
    """Return what stands before points that were taken off, in rows of papers: "Kd5 2.Qc3 | –1 | no mate, says ..."."""
    begins = text.rfind("\n", 0, span.start) + 1
    return [Span(max(span.start, row.start()), row.end()) for row in _DOCKED.finditer(text, begins, span.end)]
