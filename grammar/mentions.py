"""Sentences that name a puzzle on their way: "In 414 the check fails.", "The other knight (No. 31) does nothing."."""

import re
from collections.abc import Iterator

from msgspec import Struct

from .remembering import remembered
from .spans import Span
from .titles import ANSWER, NOUN, PARTED, numbers_of

_ENDS = re.compile(
    r"(?:(?<!\b\d)(?<!\b\d\d)(?<!\s[^\W\d_])(?<!\b[NE][orx])(?<!Kt)\.|[!?;])[)\]\"”’]*\s+(?=[A-Z(\[\"“‘]|[a-z])"
)
_THING = rf"(?:{NOUN}|number|board|puzzle|paper|card|slide)"
_AT = r"(?:in|on|of|to|for|with|from|at|re|under|concerning|regarding|about)"
_NUMBER = re.compile(
    rf"(?<!\w){_THING}\s*#?{PARTED}(?P<named>\d{{1,4}})(?![\w.]?\d)(?!\w)"
    rf"|(?<!\w){_AT}\s+{PARTED}(?P<bare>\d{{3,4}}|\d\d(?!\s+[a-z]+s\b))(?![\w.]?\d)(?!\w)",
    re.I,
)
_LETTER = re.compile(rf"(?<!\w)(?i:{_THING}|{_AT})\s+(?P<label>[A-H]|\d{{1,3}}[a-h])(?![\w-])(?!\.?\s*(?:\d|sq|Kt))")
_LOOKS_BACK = re.compile(
    r"\b(?:as|like|than|unlike|same\s+as|compare|cf\.?|see|before|after)\s+(?:\w+\s+)?(?:in\s+)?$", re.I
)
_LEADS = re.compile(
    r"\W*(?:(?:and|but|so|now|then|also|finally|lastly|next|again|as\s+(?:to|for|regards)|the|to|for|of|in|on"
    rf"|{ANSWER})\W+)*",
    re.I,
)  # what may stand before the name in a sentence that goes on to a puzzle


class Mention(Struct, frozen=True):
    """A sentence with the numbers or the letter of the puzzle it names; whether it begins with that."""

    span: Span
    numbers: tuple[int, ...]
    label: str
    opens: bool


@remembered
def mentions(text: str) -> tuple[Mention, ...]:
    """Return the sentences of a text that name one puzzle, in order; those that name several tell of none."""
    return tuple(_mentions(text))


def _mentions(text: str) -> Iterator[Mention]:
    for sentence in _sentences(text):
        words = sentence.of(text)
        named = [
            (found.start(), numbers_of(found, found.lastgroup or 0), "")
            for found in _NUMBER.finditer(words)
            if not _LOOKS_BACK.search(words[: found.start()])
        ] + [
            (found.start(), (), found["label"].lower())
            for found in _LETTER.finditer(words)
            if not _LOOKS_BACK.search(words[: found.start()])
        ]
        if len({(numbers, label) for _, numbers, label in named}) == 1:
            place, numbers, label = named[0]
            yield Mention(sentence, numbers, label, _LEADS.fullmatch(words, 0, place) is not None)


def _sentences(text: str) -> Iterator[Span]:
    place = 0
    for end in _ENDS.finditer(text):
        yield Span(place, end.end())
        place = end.end()
    if place < len(text):
        yield Span(place, len(text))
