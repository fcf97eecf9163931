"""Letters, numbers and ordinals by which a text tells of which of its positions it goes on to speak.

"B. 1.Ra6!", "12b. The move is ...", "Begin with A.", "The second one is the same again", "next slide". Where positions
have letters or numbers, they stand right before them or in their titles.
"""

import re
from collections.abc import Iterator, Mapping

from msgspec import Struct

from .remembering import remembered
from .spans import Span
from .titles import ANSWER, DOTS, NOUN, PARTED, TO, number_first, numbers_of
from .words import NUMBERS, ORDINALS, number_said, one_of

_ROMAN = r"[ivx]{1,5}|[IVX]{1,5}"
_LABEL = rf"(?:[A-H]|\d{{1,3}}[a-h]|{_ROMAN})"
_SMALL = r"\(?(?P<small>[a-h])\)"
_AT_END = re.compile(rf"(?<![\w'’])(?:(?P<label>{_LABEL})|{_SMALL})\W*$")
_AHEAD = re.compile(rf"\W*(?:(?i:{NOUN})\s*)?(?:(?P<label>{_LABEL})(?:\s*[.:)=/|]|\s+[–—-]\s)|{_SMALL}(?=\s))")
_AT_START = re.compile(rf"\W*(?P<label>{_LABEL})(?:\s*[.:)=/|]|\s*$)|[^\w(]*{_SMALL}")
_SPEAKS = r"(?:looks?|is|was|has|shows?|goes|works|needs|comes|asks|key)\b"
_TO_COME = r"\W{1,3}(?:comes?|follows?|later|next\s+(?:time|week|month)|will\s+(?:come|follow)|tomorrow|below)\b"
_OPENS = re.compile(
    rf"\W*(?:(?i:{ANSWER}|{NOUN}|to)\s+)*(?P<label>{_LABEL})(?!{_TO_COME})(?=\s*[.:)/|]|\s{{2,}}|\s*$|\s+[–—-]\s|\s+{_SPEAKS})"
    rf"|[^\w(]*(?:(?i:{ANSWER}|{NOUN}|to|ad|in|on|for|and)\s+)*{_SMALL}(?=[\s:.,])"
)
_KIN = re.compile(
    r"\bthe\s+(?P<kin>elder|older|younger|smaller|bigger|larger|easier|harder|simpler|shorter|longer|earlier|later)\b",
    re.I,
)
_ASKED = re.compile(r"^\W*Q\s*[.:]", re.M)  # who asks so is answered "A: ..."
_LED_TO = re.compile(
    rf"\b(?:[Bb]egin|[Ss]tart|[Nn]ow|[Oo]n|[Ii]n|[Aa]s|[Tt]hen|[Nn]ext|[Dd]iagram|[Pp]osition|[Bb]oard|[Pp]uzzle|[Pp]roblem)"
    rf"(?:\s+(?:with|to|for|in))?\s+(?P<label>{_LABEL})(?=[.,:;!]|\s+[a-z]{{2,}})"
)
_ANSWER_TO = re.compile(rf"\b{ANSWER}\s+{TO}\s+(?:the\s+)?(?:{NOUN}\s*)+#?(?P<number>\d{{1,4}})(?!\w)", re.I)
_NUMBERED = re.compile(
    r"\b(?:(?i:problem|puzzle|diagram|position|study|exercise|task|question|example)|[Nn]umber|[Nn]o\.)\s*#?"
    rf"{PARTED}(\d{{1,4}})(?!\w|[.]\w|{DOTS})"
)
_THING = rf"(?:{NOUN}|one|board|slide|item|exercise|example|position|card)"
_NTH = re.compile(
    rf"(?:^|[.!?:;,–—-]\s+|\b(?:the|our|okay|now|right|so|and|your)\s+)(?P<ordinal>{one_of(ORDINALS)})\s+{_THING}(?:['’]s)?\b"
    rf"|\b(?:number|(?:exercise|task|question|example|problem|puzzle|position|board|paper|card|slide|diagram)(?=\s+\w+(?:\s*[.:,;)–—-]|\s+{_SPEAKS})))"
    rf"\s+(?P<number>{one_of(NUMBERS)})\b"
    rf"|^\W*(?:(?:and|so|now|then|finally|lastly)\W+)?(?:(?:as\s+)?(?:to|for|on\s+to)\s+)?the\s+(?P<alone>{one_of(ORDINALS)})\s*[.:]"
    rf"|\b{NOUN}\s+the\s+(?P<nth>{one_of(ORDINALS)})\b",
    re.I,
)
_SO = r"(?:(?:and|but|now|then|so|right|okay|ok|as|for|in|on|to|with)\s*,?\s+)*"
_OF_PLAY = (
    r"(?:[\w'’]+\s+){0,2}?(?:variations?|lines?|threats?|tr(?:y|ies)|moves?|defen[cs]es?|replies|mates?\s+(?!in\b))"
)
_IS_ABOUT = (
    r"(?:asks?|asked|wants?|wanted|requires?|required|calls?\s+for|called\s+for|shows?|showed|adds?|features|concerns"
    r"|deserves|differs|contains|pleases|pleased|belongs|deals|hinges|revolves|won)"
)
_NOTE = (
    r"(?:\s*\[|\s*[,:(](?!\s*\(?\d\s?(?:\.\.|…))"
    rf"|\s+(?:of(?!\s+(?:these|those|them|which)\b|\s+{_OF_PLAY})|by|is|was|goes|has|looks|needs|again|{_IS_ABOUT})(?!\w)|\s+1\.(?!\.))"
)
_OF_ORDER = re.compile(rf"\W*{_SO}the\s+(?P<place>{one_of([*ORDINALS, 'former', 'latter'])}){_NOTE}", re.I)
_TURNS = re.compile(
    r"(?:(?<=[.!?#)\]])|(?<=[.!?#][\"”)\]]))[ \t]+"
    rf"(?={_SO}the\s+(?:{one_of([*ORDINALS, 'former', 'latter'])})(?:{_NOTE}|\s+{_THING})"
    rf"|{_SO}(?:{NOUN}\s+)?(?:number|{NOUN})\s+(?:{one_of(NUMBERS)})\b|\d{{1,3}}\)\s+1\.)",
    re.I,
)  # the sentences in which a text turns to another position
_NEXT = re.compile(
    rf"\b(?:next|another|other)\s+{_THING}\b|^\W*(?:right|okay|ok|so|now|and)?\W*next\W*(?=[.:!]|$)", re.I
)
_LOOKS_BACK = re.compile(
    r"\b(?:as|like|than|before|after|unlike|that\s+was|end\s+of|same\s+as)\s+(?:in\s+)?(?:the\s+)?$", re.I
)
_OPENING = 70  # characters in which a text says what it goes on to


def labels_of(title: str, before: str) -> Iterator[str]:
    """Yield what a position goes by: letters at the end of the words before it, and over it, or "the elder" there."""
    for found in (_AT_END.search(before), _AHEAD.match(before), _AT_START.match(title)):
        if found is not None:
            yield found["label"].lower() if found["label"] else found["small"] + ")"
    kin = _KIN.search(before)
    if kin is not None:
        yield kin["kin"].lower()


def turns(text: str, span: Span) -> Iterator[int]:
    """Yield where the sentences of a stretch begin in which it turns to another position: "The second is ..."."""
    for turn in _TURNS.finditer(text, *span):
        yield turn.end()


class _Said(Struct, frozen=True):
    """How a stretch of text names a position: by the label that opens it, others, numbers, a place in their order."""

    opens: str
    leads_to: tuple[str, ...]
    answers: int
    tells: frozenset[int]
    places: tuple[tuple[int, bool], ...]  # in their order, with whether it is one of two


@remembered
def _said(text: str) -> _Said:
    words = text[:_OPENING]
    opened = _OPENS.match(words)
    leads_to = tuple(found["label"].lower() for found in _LED_TO.finditer(words))
    answered = _ANSWER_TO.search(text)
    places = []
    if (ordered := _OF_ORDER.match(words)) is not None:
        named = ordered["place"].lower()
        of_two = named not in ORDINALS
        places.append(({"former": 0, "latter": 1}.get(named, -1) if of_two else ORDINALS[named] - 1, of_two))
    counted = _NTH.search(words)
    if counted is not None and not _LOOKS_BACK.search(words[: counted.start()]):
        number = counted["ordinal"] or counted["number"] or counted["alone"] or counted["nth"]
        places.append((number_said(number) - 1, False))
    tells = frozenset(
        number
        for found in _NUMBERED.finditer(words)
        if not _LOOKS_BACK.search(words[: found.start()])
        for number in numbers_of(found)
    )
    answers = int(answered["number"]) if answered else -1
    opens = ""
    if opened is not None:
        opens = opened["label"].lower() if opened["label"] else opened["small"] + ")"
    return _Said(opens, leads_to, answers, tells, tuple(places))


def has_answers(text: str) -> bool:
    """Tell whether a text asks "Q: ...", so that "A: ..." is an answer and no label."""
    return _ASKED.search(text) is not None


@remembered
def names_any(text: str) -> bool:
    """Tell whether a stretch of text begins with a number or says anything by which a position may be named."""
    told = number_first(text) is not None or _said(text) != _Said("", (), -1, frozenset(), ())
    return told or _KIN.search(text) is not None


class Labels:
    """The positions of a file by their labels and in their order."""

    def __init__(
        self, labels: Mapping[str, int], numbers: Mapping[int, int], order: list[int], *, asked: bool = False
    ) -> None:
        self.labels = labels if len(set(labels.values())) > 1 else {}
        self.asked = asked  # "A:" opens an answer
        self.numbers = numbers
        self.order = order

    def opened(self, text: str, span: Span) -> int | None:
        """Return the position whose letter stands at the start of a stretch of text."""
        opens = _said(span.of(text)[:_OPENING]).opens
        return None if self.asked and opens == "a" else self.labels.get(opens)

    def named(self, text: str, span: Span) -> int | None:
        """Return the position that a stretch of text begins to speak of, None where it does not say."""
        said = _said(span.of(text))
        if said.opens in self.labels and not (self.asked and said.opens == "a"):
            return self.labels[said.opens]
        led = {self.labels.get(label) for label in said.leads_to} - {None}
        if len(led) == 1:
            return led.pop()
        if said.answers in self.numbers:
            return self.numbers[said.answers]
        told = {number for number in said.tells if number in self.numbers}
        if len(told) == 1:
            return self.numbers[told.pop()]
        for place, of_two in said.places:
            if place < len(self.order) and not (of_two and len(self.order) != 2):
                return self.order[place]
        kin = {self.labels.get(found["kin"].lower()) for found in _KIN.finditer(text, *span)}
        return kin.pop() if len(kin) == 1 else None

    def following(self, text: str, span: Span, current: int) -> int | None:
        """Return the position after the `current` one where a stretch of text says that it goes on to the next."""
        words = span.of(text)[:_OPENING]
        said = _NEXT.search(words)
        if said is None or current not in self.order or _LOOKS_BACK.search(words[: said.start()]):
            return None
        place = self.order.index(current) + 1
        return self.order[place] if place < len(self.order) else None
