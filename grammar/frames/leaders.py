"""Dots that lead the eye from one column to the next: "Ka7 . . . . b7", "to g7 ........ bishop takes g7"."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from keyproof.grammar.lexicon.lexemes import Lexeme
from keyproof.grammar.spans import Span
from msgspec.structs import replace

_FEWEST = 2  # lines that make a table of them
_DOTTED = 3  # dots, at the least: one ends a sentence
_TOLD = ("move", "square", "old")
_DOTS = ("number", "stop", "dots", "pause")


def without_leaders(given: Sequence[Lexeme]) -> list[Lexeme]:
    """Return the lexemes of a text with a dash for the dots that lead from a reply to its answer, line by line.

    Before the dots of a reply, "1.Qb7? ... Kd8", stands a number; one line alone may be such a one without it.
    """
    leaders = [(*dots, line[1]) for line in _lines(given) if (dots := _leader(given, *line)) is not None]
    if len(leaders) < _FEWEST:
        return list(given)
    found: list[Lexeme] = []
    place = 0
    for start, end, last in leaders:
        span = given[start].span.to(given[end - 1].span)
        found += [*given[place:start], replace(given[start], kind="dash", span=span, number=None), *given[end:last]]
        end_of_line = given[last - 1].span.end
        found.append(Lexeme("stop", Span(end_of_line, end_of_line), ""))
        place = last
    return [*found, *given[place:]]


def _lines(given: Sequence[Lexeme]) -> Iterator[tuple[int, int]]:
    start = 0
    for place, lexeme in enumerate(given):
        if lexeme.kind == "line":
            yield start, place
            start = place + 1
    yield start, len(given)


def _leader(given: Sequence[Lexeme], start: int, end: int) -> tuple[int, int] | None:
    """Return where the dots of a line begin and end that stand between what is told of two columns."""
    if any(each.number is not None and each.number.value is not None for each in given[start:end]):
        return None
    dots = [place for place in range(start + 1, end - 1) if _is_dots(given[place])]
    if not dots or dots[-1] - dots[0] != len(dots) - 1 or sum(map(_count, given[dots[0] : dots[-1] + 1])) < _DOTTED:
        return None
    before, after = given[start : dots[0]], given[dots[-1] + 1 : end]
    if not all(any(_tells(each) for each in part) for part in (before, after)) or before[-1].kind not in _TOLD:
        return None
    return dots[0], dots[-1] + 1


def _is_dots(lexeme: Lexeme) -> bool:
    return lexeme.kind in _DOTS and not lexeme.text.strip(" .…\t")


def _count(lexeme: Lexeme) -> int:
    return lexeme.text.count(".") + _DOTTED * lexeme.text.count("…")


def _tells(lexeme: Lexeme) -> bool:
    return lexeme.kind in _TOLD or "man" in lexeme.categories
