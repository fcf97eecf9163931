"""How a speaker says which puzzle comes next: by its title, by its number, or "next problem"."""

import re
from collections.abc import Iterator, Mapping
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from .spans import Span
from .titles import plain, printed_number, unnumbered
from .words import NUMBERS, ORDINALS, number_said, one_of

_NOUN = r"(?:problem|puzzle|position|diagram|study)"
_NUMBER = rf"(?:{one_of(NUMBERS)}|\d{{1,4}})"
_ORDINAL = rf"(?:{'|'.join(ORDINALS)}|\d{{1,2}}(?:st|nd|rd|th))"
_ASKED = r"(?=(?:\W+\w+){0,8}?\W+(?:(?:white|black)\W+to\b|to\W+(?:move|play)\b|mates?\W+in\b))"
_LEADING = r"(?:^|[.!?:;,]\s+|\b(?:and|now|so|okay|ok|to|with|is|our|my|next|then|on|here\W?s|comes)\s+)"

_COUNTED = re.compile(
    rf"\b{_NOUN}\s+(?:number\s+|no\b\.?\s*|nr\b\.?\s*|#\s?)?(?P<number>{_NUMBER})\b"
    rf"|\b(?P<ordinal>{_ORDINAL})\s+(?:{_NOUN}\b|one\b{_ASKED})",
    re.I,
)
_NUMBER_ALONE = re.compile(rf"{_LEADING}(?P<call>(?:number\s+|no\.\s?|nr\.\s?)(?P<number>{_NUMBER}))\b", re.I)
_NEXT = re.compile(rf"\b(?:next|following|another|one\s+more|(?P<last>last|final))\s+(?:{_NOUN}\b|one\b{_ASKED})", re.I)
_LOOKING_BACK = re.compile(
    r"\b(?:end\s+of|that\s+was|as\s+in|like|than|before|until|unlike|after|done\s+with|finished)"
    r"\s+(?:the\s+|our\s+|this\s+|my\s+|a\s+)?$",
    re.I,
)
_ARTICLE = re.compile(r"^(?:the|an?)\s+", re.I)
_NAMING = r"called|titled|entitled|named|title(?:\s+is)?|problem|puzzle|study|number\s+\w+"
_NAMES = re.compile(rf"\b(?:{_NAMING})\W+(?:the\s+|an?\s+)?$", re.I)
_LEADS_TO_NAME = re.compile(
    rf"(?:^|[.!?:;]\s+|\b(?:{_NAMING}|position|now|next|is|to|comes|s)\W+)(?:the\s+|an?\s+)?$", re.I
)
# Words that any solution has: a title of these alone, "The Second Rank", is no title wherever it is said.
_CHESS = """the a an on of in to from by and or with for no not at last next end s
key try threat mate check pin pinned flight guard defence battery capture castling promotion move moves
board square squares rank file diagonal corner side long short light dark double white black
king queen rook bishop knight pawn kings queens rooks bishops knights pawns"""
_OF_CHESS = frozenset({*_CHESS.split(), *NUMBERS, *ORDINALS})


class Call(Struct, frozen=True):
    """A place where a puzzle is called: "title" and "number" name it, "next" and "last" go by the order.

    `target` is the index of the puzzle, None for "next", and for a number that no puzzle has.
    """

    kind: Literal["title", "number", "next", "last"]
    span: Span
    target: int | None


class Names:
    """The puzzles that a speaker may call, by title and by number."""

    def __init__(self, titles: list[str], numbers: list[int | None]) -> None:
        self._by_title = _unique(
            {index: _ARTICLE.sub("", plain(unnumbered(title))) for index, title in enumerate(titles)}
        )
        self._by_number = {number: index for index, number in reversed(list(enumerate(numbers))) if number is not None}
        self._count = len(titles)
        self._patterns = [(_pattern(title), title, index) for title, index in self._by_title.items()]

    def of_heading(self, text: str) -> int | None:
        """Return the puzzle that a heading names, None if it names none."""
        titled = self._by_title.get(_ARTICLE.sub("", plain(unnumbered(text))))
        if titled is not None:
            return titled
        named = next((call.target for call in self.calls(text, Span(0, len(text)), heading=True)), None)
        number = printed_number(text)
        return named if named is not None or number is None else self._numbered(number)

    def calls(self, text: str, span: Span, *, heading: bool = False) -> Iterator[Call]:
        """Yield the calls in a stretch of text, in order. Every title in a heading is one."""
        words = span.of(text)
        found = [
            Call("title", Span(*said.span()), index)
            for pattern, title, index in self._patterns
            for said in pattern.finditer(words)
            if heading or _is_named(title, _before(words, said.start()))
        ]
        for said in _COUNTED.finditer(words):
            number = number_said(said["number"] or said["ordinal"])
            target = self._numbered(number) if said["number"] else self._in_order(number)
            found.append(Call("number", Span(*said.span()), target))
        found += [
            Call("number", Span(*said.span("call")), self._numbered(number_said(said["number"])))
            for said in _NUMBER_ALONE.finditer(words)
        ]
        found += [Call("last" if said["last"] else "next", Span(*said.span()), None) for said in _NEXT.finditer(words)]
        end = 0
        for call in sorted(found, key=lambda call: (call.span.start, call.kind != "title")):
            if call.span.start >= end and not _LOOKING_BACK.search(_before(words, call.span.start)):
                place = Span(span.start + call.span.start, span.start + call.span.end)
                yield replace(call, span=place)
                end = call.span.end

    def _numbered(self, number: int) -> int | None:
        """Return the puzzle of this printed number, or else the one in this place of the order."""
        return self._by_number.get(number, self._in_order(number))

    def _in_order(self, number: int) -> int | None:
        return number - 1 if 1 <= number <= self._count else None


def _unique(titles: Mapping[int, str]) -> dict[str, int]:
    """Turn a mapping round, without the titles that are empty; of twins the first counts."""
    found: dict[str, int] = {}
    for index, title in titles.items():
        if title:
            found.setdefault(title, index)
    return found


def _is_named(title: str, before: str) -> bool:
    """Tell whether the words of a title are meant as a title after what stands before them."""
    if set(title.split()) <= _OF_CHESS:
        return _NAMES.search(before) is not None
    return len(title.split()) > 1 or _LEADS_TO_NAME.search(before) is not None


def _pattern(title: str) -> "re.Pattern[str]":
    between = r"\W+"
    return re.compile(rf"\b{between.join(title.split())}\b", re.I)


def _before(words: str, place: int) -> str:
    return words[max(0, place - 40) : place]
