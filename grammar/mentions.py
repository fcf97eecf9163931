"""Sentences that name a puzzle on their way: "In 414 the check fails.", "The other knight (No. 31) does nothing."."""

import re
from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

from .remembering import remembered
from .spans import Span
from .titles import ANSWER, DOTS, NOUN, PARTED, numbers_of
from .words import NUMBERS, ORDINALS, number_said, one_of

_ENDS = re.compile(
    r"(?:(?<!\b\d)(?<!\b\d\d)(?<!\s[^\W\d_])(?<!\b[NnE][orx])(?<!Kt)(?<!\b[IVX][IVX])(?<!\b[IVX]{3})\.|[!?;])"
    r"[)\]\"”’]*\s+(?=[^\W\d_]|[(\[\"“‘]|\d{1,4}\s*[:)–—]|\d\d)"
)
_THING = rf"(?:{NOUN}|number|board|puzzle|paper|card|slide)"
_AT = r"(?:in|on|of|to|for|with|from|at|re|under|concerning|regarding|about)"
_SPEAKS = r"(?:is|does|was|has|had|goes|went|needs?|works?|looks?|comes?|falls?|proved|gave|by|again|solves?)"
_NUMBER = re.compile(
    rf"(?<!\w){_THING}\s*#?(?:{PARTED}(?P<named>\d{{1,4}})(?![\w.]?\d)(?!{DOTS})|(?P<word>{one_of(NUMBERS)})(?=\s*[,.;:!?)–—]|\s*$|\s+{_SPEAKS}\b))(?!\w)"
    rf"|(?<!\w){_AT}\s+{PARTED}(?P<bare>\d\d(?!\s+(?!{_SPEAKS}\b)[a-z]+s\b))(?![\w.]?\d)(?!\w)"
    rf"|(?<![\w.,#+=/-]){PARTED}(?P<great>\d{{3,4}})(?![\w.,/-]?\d)(?!\w)",
    re.I,
)
_TOGETHER = re.compile(r"\s*(?:,|and\b|or\b|to\b|&|[-–—+/])\s*(?:no\.?\s*)?\d", re.I)  # "412 and 413"
_BEHIND = re.compile(r"\d\s*(?:,|and|or|to|&|[–—+/])\s*(?:no\.?\s*)?$", re.I)
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
    r"|(?:^|(?<=\s))\(?(?P<small>[a-h])\)(?=[\s.,;:!?]|$)|(?<=[a-z]\s)(?P<lone>[A-H])(?=[?!,;)]|\s*$)"
)
_LOOKS_BACK = re.compile(
    r"\b(?:as|like|than|unlike|same\s+as|compare|cf\.?|see|before|after)\s+(?:\w+\s+)?(?:in\s+)?$", re.I
)
_CLAUSES = re.compile(r"[,;:–—]\s+|\s+(?=(?:and|but|while|whereas)\s)")
_SAID = re.compile(r"[^\W\d_]{3,}")  # something, between two names
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

    @property
    def name(self) -> tuple[tuple[int, ...], str, int]:
        """What it is called."""
        return self.numbers, self.label, self.place


@remembered
def mentions(text: str) -> tuple[Mention, ...]:
    """Return the sentences of a text that name one puzzle, in order; those that name several tell of none."""
    return tuple(_mentions(text))


def _mentions(text: str) -> Iterator[Mention]:
    for sentence in _sentences(text):
        named = sorted(_named(sentence.of(text), sentence), key=lambda each: each[0])
        if len({each.name for _, each in named}) == 1:
            yield named[0][1]
        elif named:
            yield from _apart(sentence.of(text), sentence, named)


def _apart(words: str, sentence: Span, named: list[tuple[int, Mention]]) -> Iterator[Mention]:
    """Cut a sentence that names several puzzles before what leads to each: "in no. 1 for Ra3, in no. 2 for Be5"."""
    pieces: list[Mention] = []
    for place, mention in named:
        if pieces and pieces[-1].name == mention.name:
            continue
        start = 0
        if pieces:
            cuts = [cut.end() for cut in _CLAUSES.finditer(words, pieces[-1].span.start - sentence.start, place + 1)]
            if not cuts or not re.search(
                r"[^\W\d_]{3,}.*\S{2}", words[pieces[-1].span.start - sentence.start : cuts[-1]]
            ):
                return
            start = cuts[-1]
            pieces[-1] = replace(pieces[-1], span=Span(pieces[-1].span.start, sentence.start + start))
        pieces.append(replace(mention, span=Span(sentence.start + start, sentence.end)))
    yield from pieces


def _named(words: str, sentence: Span) -> Iterator[tuple[int, Mention]]:
    """Yield how a sentence names puzzles, and where, what it looks back to left out."""
    opened = _OPENED.match(words)
    if opened is not None and int(opened[opened.lastgroup or 0]) < _GREAT:  # else it is found below
        yield 0, Mention(sentence, True, numbers=numbers_of(opened, opened.lastgroup or 0))
    for found in _NUMBER.finditer(words):
        opens = _opens(words, found.start())
        if opens is None or several(words, found.end()) or _BEHIND.search(words[: found.start()]):
            continue
        if found["word"]:
            number = number_said(found["word"])
            yield found.start(), Mention(sentence, opens, numbers=(number,), place=number - 1)
        else:
            yield found.start(), Mention(sentence, opens, numbers=numbers_of(found, found.lastgroup or 0))
    for found in _LETTER.finditer(words):
        if (opens := _opens(words, found.start())) is not None:
            yield found.start(), Mention(sentence, opens, label=_label(found))
    for found in _NTH.finditer(words):
        if (opens := _opens(words, found.start())) is not None:
            place = ORDINALS[(found["ordinal"] or found["first"]).lower()] - 1
            yield found.start(), Mention(sentence, opens, place=place)


def _label(found: re.Match[str]) -> str:
    return found["small"] + ")" if found["small"] else (found["label"] or found["lone"]).lower()


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
