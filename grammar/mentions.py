"""Sentences that name a puzzle on their way: "In 414 the check fails.", "The other knight (No. 31) does nothing."."""

import re
from collections.abc import Iterator

from msgspec import Struct

from .remembering import remembered
from .spans import Span
from .titles import ANSWER, NOUN, PARTED, numbers_of
from .words import ORDINALS, one_of

_ENDS = re.compile(
    r"(?:(?<!\b\d)(?<!\b\d\d)(?<!\s[^\W\d_])(?<!\b[NnE][orx])(?<!Kt)(?<!\b[IVX][IVX])(?<!\b[IVX]{3})\.|[!?;])"
    r"[)\]\"”’]*\s+(?=[^\W\d_]|[(\[\"“‘]|\d{1,4}\s*[:)–—]|\d\d)"
)
_THING = rf"(?:{NOUN}|number|board|puzzle|paper|card|slide)"
_AT = r"(?:in|on|of|to|for|with|from|at|re|under|concerning|regarding|about)"
_NUMBER = re.compile(
    rf"(?<!\w){_THING}\s*#?{PARTED}(?P<named>\d{{1,4}})(?![\w.]?\d)(?!\w)"
    rf"|(?<!\w){_AT}\s+{PARTED}(?P<bare>\d\d(?!\s+[a-z]+s\b))(?![\w.]?\d)(?!\w)"
    rf"|(?<![\w.,#+=/-]){PARTED}(?P<great>\d{{3,4}})(?![\w.,/-]?\d)(?!\w)",
    re.I,
)
_SPEAKS = r"(?:is|was|has|had|goes|went|needs?|works?|looks?|comes?|falls?|proved|gave|by|again|solves?)"
_TOGETHER = re.compile(r"\s*(?:,|and\b|or\b|to\b|&|[-–—+/])\s*(?:no\.?\s*)?\d", re.I)  # "412 and 413"
_OPENED = re.compile(
    rf"\W*(?:[QAPTNS](?=\d))?{PARTED}(?P<opened>\d{{1,4}})(?=\s*[:)–—](?!\d)|\s+-\s|\s+{_SPEAKS}\b)"
    rf"|\W*{PARTED}(?P<stopped>\d{{2,4}})(?=\.\s)"
)
_NTH = re.compile(
    rf"(?<!\w)(?:{_AT}|{_SPEAKS})\s+the\s+(?P<ordinal>{one_of(ORDINALS)})"
    rf"(?=\s*[,.;:!?)–—]|\s*$|\s+(?:{_THING}|one|position|diagram|problem|study)\b|\s+(?:is|was|has|by|and|but|the|a)\b)"
    rf"|(?:^\W*(?:(?:and|but|so|then|now|finally)\W+)?|[,;]\s+)the\s+(?P<first>{one_of(ORDINALS)})"
    rf"(?=\s*[,:(]|\s+(?:{_THING}|one|{_SPEAKS}|\d\s?\.)\b)",
    re.I,
)
_LETTER = re.compile(
    rf"(?<!\w)(?i:{_THING}|{_AT})\s+(?P<label>[A-H]|[IVX]{{1,5}}|\d{{1,3}}[a-h])(?![\w-])(?!\.?\s*(?:\d|sq|Kt))"
)
_LOOKS_BACK = re.compile(
    r"\b(?:as|like|than|unlike|same\s+as|compare|cf\.?|see|before|after)\s+(?:\w+\s+)?(?:in\s+)?$", re.I
)
_GREAT = 100  # no square, move or count of men: where a puzzle has this number, the puzzle is meant
_LEADS = re.compile(
    r"\W*(?:(?:and|but|so|now|then|also|finally|lastly|next|again|as\s+(?:to|for|regards)|the|to|for|of|in|on"
    rf"|{ANSWER})\W+)*",
    re.I,
)  # what may stand before the name in a sentence that goes on to a puzzle


class Mention(Struct, frozen=True):
    """A sentence with the numbers, the letter or the place in their order of the puzzle that it names.

    `place` counts from 0, and is -1 where it says none. `opens`: it begins with that.
    """

    span: Span
    opens: bool
    numbers: tuple[int, ...] = ()
    label: str = ""
    place: int = -1


@remembered
def mentions(text: str) -> tuple[Mention, ...]:
    """Return the sentences of a text that name one puzzle, in order; those that name several tell of none."""
    return tuple(_mentions(text))


def _mentions(text: str) -> Iterator[Mention]:
    for sentence in _sentences(text):
        named = list(_named(sentence.of(text), sentence))
        if len({(each.numbers, each.label, each.place) for each in named}) == 1:
            yield named[0]


def _named(words: str, sentence: Span) -> Iterator[Mention]:
    """Yield how a sentence names puzzles, what it looks back to left out."""
    opened = _OPENED.match(words)
    if opened is not None and int(opened[opened.lastgroup or 0]) < _GREAT:  # else it is found below
        yield Mention(sentence, True, numbers=numbers_of(opened, opened.lastgroup or 0))
    for found in _NUMBER.finditer(words):
        if (opens := _opens(words, found.start())) is not None:
            yield Mention(sentence, opens, numbers=numbers_of(found, found.lastgroup or 0))
    for found in _LETTER.finditer(words):
        if (opens := _opens(words, found.start())) is not None:
            yield Mention(sentence, opens, label=found["label"].lower())
    for found in _NTH.finditer(words):
        if (opens := _opens(words, found.start())) is not None:
            place = ORDINALS[(found["ordinal"] or found["first"]).lower()] - 1
            yield Mention(sentence, opens, place=place)


def several(words: str, place: int) -> bool:
    """Tell whether the number that ends at a place is one of several: "412 and 413 were done by everybody"."""
    return _TOGETHER.match(words, place) is not None


def _opens(words: str, place: int) -> bool | None:
    """Tell whether a sentence begins with the name that stands at a place; None where that is one it looks back to."""
    return None if _LOOKS_BACK.search(words[:place]) else _LEADS.fullmatch(words, 0, place) is not None


def _sentences(text: str) -> Iterator[Span]:
    place = 0
    for end in _ENDS.finditer(text):
        yield Span(place, end.end())
        place = end.end()
    if place < len(text):
        yield Span(place, len(text))
