"""How many men the two sides have, told of both at once: "nine white men, eight black", "six against five", "4+7".

Words of other languages than English: their tables of words; "v", "+": common practice, no source.
"""

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import chess
from msgspec import Struct

from .counts import of_another
from .document import MenCount
from .kept import made_of
from .lexicon.table import table_of
from .lexicon.tongues import TONGUES, sources
from .spans import Span
from .words import NUMBERS

_MOST = 16  # men of a side
_ENGLISH_MEN = ("men", "units", "pieces", "ones", "figures", "guys", "chessmen")
_AGAINST = r"(?:against|versus|vs?\b\.?|gegen|contre|contra|contro|tegen|mot|przeciw)"
_AND = rf"(?:\s*[,;]\s*(?:(?:and|und|et|en|e|y|och|i)\s+)?|\s+(?:and|to|und|et|en|e|y|och|i|a|{_AGAINST})\s+)"
_ENDS = r"(?=\s*(?:[.,;:!)\]}»\"]|[–—]|\Z)|[ \t]*[\r\n]|\s+(?:on|in)\s+(?:all|the\s+board)\b)"
_LEADS = r"(?:(?:so|then|also|thus|that['’]?s|it['’]s|that\s+is|it\s+is|okay|well|donc|dus|dunque|alltså)[,]?\s+){0,2}"
_EACH = r"(?:each|apiece|a\s+side|on\s+(?:either|each)\s+side|on\s+both\s+sides)"
_STIPULATED = r"(?:\b(?:mate|matt?|matto)\s+(?:in|en|em|på)\s+\w+(?:\s+\w+)?|#\s?\d)\s*[.,;:]\s*"
_PRINTED = r"(?P<white>(?<![\d.])(?:1[0-6]|[1-9]))\s?(?:\+|vs?\b\.?)\s?(?P<black>(?:1[0-6]|[1-9])(?![\d+]|[.:/]\d))"
_OF_KINDS = re.compile(r"\b(?:kings?|queens?|rooks?|bishops?|knights?|pawns?)\b", re.I)


class _Words(Struct, frozen=True):
    """The expressions of how many men there are, and what their words mean."""

    owned: re.Pattern[str]
    open: re.Pattern[str]
    each: re.Pattern[str]
    numbers: dict[str, int]
    sides: dict[str, chess.Color]

    def number(self, word: str) -> int:
        return int(word) if word.isdecimal() else self.numbers[word.lower()]


@cache
def _words() -> _Words:
    numbers, sides, men = _vocabulary()
    number = rf"(?:1[0-6]|[1-9]|{'|'.join(sorted(map(re.escape, numbers), key=len, reverse=True))})"
    side = rf"(?:{'|'.join(sorted(map(re.escape, sides), key=len, reverse=True))})"
    man = rf"(?:{'|'.join(sorted(map(re.escape, sorted(men)), key=len, reverse=True))})"  # the same in each run
    owned = (
        rf"(?<![\w.])(?P<first>{number})\s+(?:(?P<man>{man})\s+)?(?P<side>{side})(?:\s+(?P<men>{man}))?{_AND}"
        rf"(?P<second>{number})(?:\s+(?P<other_man>{man}))?(?:\s+(?P<other>{side})\b)?(?:\s+(?P<other_men>{man})\b)?{_ENDS}"
    )
    alone = (
        rf"(?:^|(?<=[.!?:,;(\[{{–—\"“«]))\s*{_LEADS}(?P<first>{number})(?:\s+{man})?(?:,\s*then,)?\s+{_AGAINST}\s+"
        rf"(?P<second>{number})(?:\s+{man})?(?:,?\s+(?:poor|lucky)\s+{side})?{_ENDS}"
    )
    each = rf"\b(?P<both>{number})\s+(?:{man})\s+{_EACH}\b"
    flags = re.I | re.M
    return _Words(re.compile(owned, flags), re.compile(alone, flags), re.compile(each, flags), numbers, sides)


def _vocabulary() -> tuple[dict[str, int], dict[str, chess.Color], set[str]]:
    """Return the numbers, sides and names of men in the words of all languages; kept, since few texts need the rest."""
    return made_of(Path(__file__), sources(), _gathered)


def _gathered() -> tuple[dict[str, int], dict[str, chess.Color], set[str]]:
    numbers = {word: count for word, count in NUMBERS.items() if count <= _MOST}
    sides: dict[str, chess.Color] = {}
    men = set(_ENGLISH_MEN)
    for tongue in TONGUES:
        table = table_of(tongue)
        for form, places in table.forms.items():
            for meaning in (table.meanings[place] for place in places):
                if len(form) != 1 or meaning.misheard:
                    continue
                (word,) = form
                if meaning.category == "side":
                    sides[word] = meaning.sense == "white"
                elif meaning.category == "man" and meaning.sense == "any" and tongue != "english":
                    men.add(word)
                elif meaning.category == "count" and meaning.sense != "0" and tongue != "english":
                    numbers.setdefault(word, int(meaning.sense))
    return numbers, sides, men


_HEADED = re.compile(rf"{_STIPULATED}{_PRINTED}{_ENDS}", re.I)
_IN_ITS_LINE = re.compile(
    rf"(?:^|(?<=[|`(\[])|(?<=[ \t]{{2}}))[ \t]*{_PRINTED}(?=[ \t]*(?:[|)\],]|$)|[ \t]{{2}}|[ \t]+#)", re.M
)


def told_of_both(text: str, span: Span) -> Iterator[MenCount]:
    """Yield the numbers of men that words state of both sides at once, each of its side."""
    words = _words()
    for told in words.owned.finditer(text, *span):
        first: chess.Color = words.sides[told["side"].lower()]
        second = not first if told["other"] is None else words.sides[told["other"].lower()]
        goes_on = "," in told[0] and text.startswith(",", told.end())  # "two white men, one black, stand there"
        if first == second or goes_on or not _means_men(text, span.start, told):
            continue
        yield MenCount(Span(*told.span("first")), words.number(told["first"]), (first,))
        yield MenCount(Span(*told.span("second")), words.number(told["second"]), (second,))
    for told in words.each.finditer(text, *span):
        if not of_another(text, span.start, told.start()):
            for colour in chess.COLORS:
                yield MenCount(Span(*told.span("both")), words.number(told["both"]), (colour,))
    for told in _HEADED.finditer(text, *span):
        yield from _printed(told)


def _means_men(text: str, begin: int, told: re.Match[str]) -> bool:
    """Tell whether men are counted, those of no kind: they are named, or the sentence names none ("two rooks: ...")."""
    if any(told[name] for name in ("man", "men", "other_man", "other_men")):
        return True
    if told["other"] is None:
        return False
    sentence = max([begin, *(text.rfind(end, begin, told.start()) for end in (". ", "! ", "? ", "\n"))])
    of_kinds = _OF_KINDS.search(text, sentence, told.start())
    return of_kinds is None and not of_another(text, begin, told.start())


def printed_on_line(text: str, line: Span) -> Iterator[MenCount]:
    """Yield the numbers of men that are printed on the line of a position, by themselves: "| 4+7 |", "#2   6 + 6"."""
    for told in _IN_ITS_LINE.finditer(text, *line):
        yield from _printed(told)


def _printed(told: re.Match[str]) -> Iterator[MenCount]:
    for name, colour in (("white", chess.WHITE), ("black", chess.BLACK)):
        yield MenCount(Span(*told.span(name)), int(told[name]), (colour,))


def told_against(text: str, span: Span) -> Iterator[tuple[Span, int, int]]:
    """Yield the numbers of both sides where a sentence says nothing else and leaves open which is whose."""
    words = _words()
    for told in words.open.finditer(text, *span):
        if not of_another(text, span.start, told.start("first")):
            where = Span(told.start("first"), told.end())
            yield where, words.number(told["first"]), words.number(told["second"])
