"""What is asked of several positions at once, and orders in other languages than English.

"11 and 12: mate in two" is asked of these two, "Both mate in two" and "All are mates in two" of
every position that has no order of its own. Words of other languages: common practice, no source.
"""

import re
from collections.abc import Iterator

from msgspec import Struct

from .remembering import remembered
from .spans import Span
from .traces import NUMBERED_MOVE, PRINTED_MOVE
from .words import NUMBERS, ORDINALS, SPOKEN_SQUARE, one_of

_TWO_TO_NINE = {
    "de": "zwei drei vier fünf sechs",
    "fr": "deux trois quatre cinq six",
    "es": "dos tres cuatro cinco seis",
    "it": "due tre quattro cinque sei",
    "nl": "twee drie vier vijf zes",
    "pt": "dois três quatro cinco seis",
    "pl": "dwóch trzech czterech pięciu sześciu",
    "sv": "två tre fyra fem sex",
    "ru": "два три четыре пять шесть",
}
_COUNTED = {word: number for words in _TWO_TO_NINE.values() for number, word in enumerate(words.split(), start=2)}
_COUNTED |= {"2": 2, "3": 3, "4": 4, "5": 5, "6": 6}
_N = one_of(_COUNTED)
_MOVERS = {
    "zweizüger": 2, "dreizüger": 3, "vierzüger": 4, "tweezet": 2, "driezet": 3, "vierzet": 4, "tvådragare": 2,
    "tredragare": 3, "dwuchodówka": 2, "trzychodówka": 3, "двухходовка": 2, "трёхходовка": 3, "трехходовка": 3,
}  # fmt: skip
_FOREIGN = re.compile(
    rf"\b(?:matt?|matto|mate|мат)\s+(?:in|en|em|w|i|на|в)\s+(?P<after>{_N})\b"
    rf"|\bin\s+(?P<before>{_N})\s+(?:zügen|zetten)\s+(?:matt?)\b"
    rf"|\b(?:matta|mattano|matten|mattar|mater|mata)\s+(?:in|en|em)\s+(?P<verb>{_N})\s+(?:mosse|coups|jugadas|lances)\b"
    rf"|\b(?P<mover>{one_of(_MOVERS)})\b",
    re.I,
)
_COUNT = f"(?:{one_of(word for word in _COUNTED if not word.isdecimal())})"
_EVERY = (
    rf"(?:beiden?|allen?|aller|jeder|jede[ms]?|jeweils|stets|tous|toutes|chacune?|chaque|les\s+{_COUNT}"
    rf"|todos|todas|ambos|ambas|cada|l[oa]s\s+{_COUNT}|tutti|tutte|entramb[ie]|ognuno|ogni|(?:i|le|nei|nelle|gli)\s+{_COUNT}"
    r"|elke?|ieder|iedere|allebei|todos|todas|cada|båda|alla|varje)"
)  # what other languages say of all positions of a column
_FOREIGN_MATES = rf"(?:\bmatt?[oe]?\s+(?:in|en|em|i|w)\s+(?:{_N})\b|\bin\s+(?:{_N})\s+(?:zügen|zetten)\s+matt?\b)"
_MANY = re.compile(
    r"^\W*(?:all|both|each|every|these|they|the\s+following|here(?!\s+(?:is|comes)))\b[^.!?:;\d]{0,60}?\bmates?\b|^\W*mates\s+in\b"
    rf"|\b{_EVERY}\b[^.!?;\d]{{0,80}}?(?:\bmatt?[oe]?\b|{_FOREIGN_MATES})"
    r"|\b(?:two|three|four)-?movers\b|\bmates?\s+in\s+\w+(?:\s+moves)?\s+(?:each|every\s+time|in\s+(?:each|every|all))\b",
    re.I,
)
_SAME = re.compile(
    r"\b(?:(?:the\s+)?same\s+(?:again|bargain|deal|terms|rules|drill|job|exercise|challenge|game|length|task|question|order|stipulation|aim|thing|condition|number\s+of\s+moves)|likewise|ditto"
    r"|also\s+a\s+mate|as\s+(?:before|above)|dieselbe\s+(?:aufgabe|forderung)|même\s+(?:énoncé|consigne)|lo\s+mismo)\b",
    re.I,
)
_MATES = r"\bmates?\s+in\s+\w+"
_SIGN = r"#\s?[2-9](?!\w)"
_SIGNED = re.compile(
    rf"\b(?:all|both|each|every\s+one)\b(?:\s+(?:(?:of\s+)?(?:them|these)|are|is|\w+\s+are))?[\s:,=(]*{_SIGN}"
    rf"|{_SIGN}[\s,;:(–—-]*(?:(?:in\s+)?(?:all|both|each)\b|throughout\b|every\s+(?:time|one)\b)",
    re.I,
)  # "all #2" may stand behind the last of the positions, on its line
_OF_ALL = re.compile(
    rf"\b(?:all|both|each|every|either)\b[^\r\n]{{0,60}}?{_MATES}|\bboth\s+and\s+are\s+{_MATES}|\bof\s+(?:[\w'’]+\s+){{0,2}}mates\s+in\s+\w+|{_MATES}\b[^\r\n]{{0,40}}?\b(?:both|each|all\s+of\s+them)\b"
    rf"|\b{_EVERY}\b[^\r\n]{{0,80}}?{_FOREIGN_MATES}|{_FOREIGN_MATES}[^.!?;\r\n]{{0,40}}?\b{_EVERY}\b",
    re.I,
)
_PUZZLES = (
    r"(?:(?:chess)?problems|puzzles|exercises|positions|diagrams|miniatures|brain[\s-]?teasers|nuts|tasks|studies"
    r"|(?:schach)?aufgaben|(?:schach)?probleme|übungen|diagramme|rätsel|stellungen|problèmes|exercices|diagrammes|énigmes"
    r"|problemas|ejercicios|diagramas|exercícios|problemi|esercizi|diagrammi|opgaven|problemen|oefeningen|diagrammen"
    r"|zadania|problemy|diagramy|uppgifter|övningar|задачи|упражнения|диаграммы)"
)
_OVER_ALL = re.compile(
    rf"\b{_PUZZLES}\b[^.!?;\d]{{0,80}}?(?P<order>(?:{_MATES}\b|{_FOREIGN_MATES}|{_FOREIGN.pattern}|{_SIGN}))[^\r\n]{{0,20}}$",
    re.I | re.M,
)
_FEW = {word: number for word, number in NUMBERS.items() if 2 <= number <= 6} | {str(n): n for n in range(2, 7)}
_NTH = {word: number for word, number in ORDINALS.items() if 2 <= number <= 6}
_NTH |= {"2nd": 2, "3rd": 3, "4th": 4, "5th": 5, "6th": 6}
_STARTS = r"(?:white|we|you)\s+(?:begins?|starts?|go(?:es)?\s+first|moves?\s+first)|ours?\s+to\s+(?:start|begin)"
_TOLD = re.compile(
    r"\b(?:check)?mated?s?,?\s+(?:(?:him|her|it|me|us|them|black|the\s+king),?\s+)?(?:on|at|by|with)\s+"
    rf"(?:(?:the|my|your|his|her|its|our|white's)\s+(?P<nth>{one_of(_NTH)})(?:\s+move)?|move\s+(?P<move>{one_of(_FEW)}))\b"
    rf"|\bin\s+(?P<in>{one_of(_FEW)})\s+moves?\b[^.!?\r\n\d]{{0,12}}\bmate\b"
    rf"|\b(?P<moves>{one_of(_FEW)})\s+moves\b[^.!?\r\n\d]{{0,20}}\b(?:white|you)\s+to\s+mate\b"
    rf"|\b(?P<mover>{one_of(_FEW)})[\s-]?movers?\b"
    rf"|\b(?P<section>{one_of(_FEW)})[\s-]move\s+(?:section|class|group|problems?|award|tourney|mates?|puzzles?)\b"
    rf"|\bmates?\s+(?:me|him|her|us|them)\s+in\s+(?P<whom>{one_of(_FEW)})\b"
    rf"|\bit\s+is\s+(?P<this>{one_of(_FEW)})\s+moves\s+(?:again|this\s+time|once\s+more)\b"
    rf"|\b(?P<colour>white|you)\s+(?:wins?|moves?),?\s+(?:in\s+)?(?P<won>{one_of(_FEW)})\s+moves\b"
    rf"|\b(?:still|again)[,\s]+(?:it\s*['’]?s\s+)?(?P<again>{one_of(_FEW)})(?:\s+moves)?\b"
    rf"|\b(?:still|again|also),?\s+(?:it\s+is\s+)?(?P<also>{one_of(_FEW)})\s+moves\b"
    rf"|\b(?P<more>{one_of(_FEW)})\s+moves\s+(?:once\s+more|again|too|as\s+before)\b"
    rf"|\bin\s+(?P<within>{one_of(_FEW)})\s+moves\b[^.!?\r\n\d]{{0,20}}\b(?:check)?mated?\b"
    rf"|\b(?:check)?mate(?:d)?\s+in\s+(?P<mated>{one_of(_FEW)})\b"
    rf"|\b(?:to\s+(?:move|play)|moves|starts|begins|first),?\s+(?P<then>{one_of(_FEW)})\s+moves,?\s+(?:and\s+)?mate\b"
    rf"|\b(?P<brief>{one_of(_FEW)})\s+moves,?\s+(?:and\s+|to\s+(?:give\s+|force\s+)?)?(?:it['’]s\s+)?(?:check)?mate\b"
    rf"|\b(?P<start>{one_of(_FEW)})\s+moves,?\s+(?:and\s+)?(?:also\s+)?(?:{_STARTS})\b"
    rf"|\b(?:{_STARTS}),?\s+(?:and\s+)?(?P<started>{one_of(_FEW)})\s+moves\b"
    rf"|\b(?:mate|made|meet)\s+in\s+(?P<misheard>too?)(?=\s*$)"
    rf"|\bmade\s+in\s+(?P<heard>{one_of(_FEW)})\b"
    rf"|\((?P<alone>{one_of(_FEW)})\s+moves?\)",
    re.I | re.M,
)
_ALONE = re.compile(
    rf"\W*(?P<alone>{one_of(_FEW)})\s+moves(?:\s+(?:again|too|this\s+time|once\s+more|as\s+before))?\W*", re.I
)
_ORDERS = re.compile(r"\b(?:white|you|your|we|our|ours|my|he|black|to\s+(?:play|move)|movers?)\b", re.I)
_NO_ORDER = re.compile(
    r"\b(?:no|not(?!\s+(?:later|sooner|earlier|before|more|less|three))|cannot|never|if|unless|without|would|could|after|when)\b|n['’]t\b",
    re.I,
)
_HOWEVER = re.compile(
    r"[\s,–—-]+(?:if|provided(?:\s+that)?|supposing|when|assuming)\s+(?:black|he|the\s+(?:defen[cs]e|defender))"
    r"\s+(?:does|plays|defends|puts\s+up|finds|makes|resists|fights)\b[^.!?;\r\n\d]*$",
    re.I | re.M,
)  # "if Black does his best" takes nothing off an order
_SENTENCE = re.compile(r"[^.!?;\r\n]+")
_OVER_LINES = re.compile(r"[^.!?;]+")
_SURE = frozenset(
    [
        "mover",
        "section",
        "alone",
        "brief",
        "this",
        "whom",
        "colour",
        "again",
        "also",
        "more",
        "then",
        "start",
        "started",
        "misheard",
    ]
)  # groups of `_TOLD` that are orders whoever is spoken of
_ANSWERED = re.compile(rf"\bmate\s+in\s*\?[\s\W]*(?:\w+:\s*)?(?P<in>{one_of(_FEW)})\b", re.I)  # "Mate in? - Two."
_BEFORE = 2  # characters before a sentence that a pattern may look back to
_NUMBERS = re.compile(
    r"^[ \t*_#]*(?:nos?\.?\s*|problems?\s+|puzzles?\s+|diagrams?\s+)?"
    r"(?P<list>\d{1,4}(?:\s*(?:,|and|&|to|[-–—])\s*\d{1,4})+)\s*[:,.–—-]"
    r"(?=[^.!?\r\n]{0,60}?(?:\bmates?\s+in\b|#\s?\d))[^.!?\r\n]*",
    re.I | re.M,
)


class Order(Struct, frozen=True):
    """A stipulation in other words than "mate in two": its place and what it says in English."""

    span: Span
    english: str


def foreign_orders(text: str, span: Span) -> Iterator[Order]:
    """Yield the orders in `span` that other languages than English print."""
    for said in _FOREIGN.finditer(text, *span):
        counted = (said["after"] or said["before"] or said["verb"] or said["mover"]).lower()
        number = _COUNTED.get(counted) or _MOVERS[counted]
        yield Order(Span(*said.span()), f"mate in {number}")


def told_orders(text: str, span: Span) -> Iterator[Order]:
    """Yield the orders in `span` that a speaker tells: "White moves, and mate on the second move"; "a two-mover".

    What names a square is no order but play: "the knight answers on b6 and mates on move three".
    """
    for sentence in _SENTENCE.finditer(text, *span):
        said = _ALONE.fullmatch(text, *sentence.span()) or _TOLD.search(text, *sentence.span())
        if said is not None and (order := _ordered(said, text, Span(*sentence.span()))) is not None:
            yield order
    for asked in _ANSWERED.finditer(text, *span):
        yield Order(Span(*asked.span()), f"mate in {_FEW[asked['in'].lower()]}")
    for sentence in _OVER_LINES.finditer(text, *span):  # captions end their lines anywhere
        said = _TOLD.search(text, *sentence.span())
        if said is not None and said["nth"] and "\n" in said[0]:
            order = _ordered(said, text, Span(*sentence.span()))
            if order is not None:
                yield order


def _ordered(said: re.Match[str], text: str, sentence: Span) -> Order | None:
    """Return what words of a sentence order, None where they only tell of play."""
    how = {name for name, word in said.groupdict().items() if word}
    last = bool(how & {"again", "also", "misheard"}) and not text[said.end() : sentence.end].strip()
    if not (how & {"mover", "section"} or last) and SPOKEN_SQUARE.search(text, *sentence):
        return None
    if not how & _SURE and not _ORDERS.search(text, *sentence):
        return None
    told = _HOWEVER.search(text, *sentence)
    if _NO_ORDER.search(text, sentence.start, told.start() if told else sentence.end):
        return None
    number = next(word for name, word in said.groupdict().items() if word and name != "colour").lower()
    return Order(Span(*said.span()), f"mate in {_NTH.get(number) or _FEW.get(number, 2)}")


def asks_the_same(text: str, span: Span) -> Span | None:
    """Return the words of a stretch that ask what was asked of the puzzle before: "same task", "the same again".

    They stand before any move: a sentence that names a square tells play ("same thing on b6").
    """
    for sentence in _SENTENCE.finditer(text, *span):
        lead = max(0, sentence.start() - _BEFORE)
        same = _says_the_same(text[lead : sentence.end()], sentence.start() - lead)
        if same is None:
            return None
        if same.end:
            return same.further_on(lead)
    return None


@remembered
def _says_the_same(text: str, start: int) -> Span | None:
    """Return where a sentence asks the same again, an empty span where it does not, None where it tells play."""
    if SPOKEN_SQUARE.search(text, start) or PRINTED_MOVE.search(text, start):
        return None
    said = _SAME.search(text, start)
    return Span(*said.span()) if said else Span(0, 0)


def orders_of_all(text: str) -> Iterator[Span]:
    """Yield what a text asks of every position: the sentences "All are mates in two", "in each case", or "all #2"."""
    for sentence in _SENTENCE.finditer(text):
        start, end = sentence.span()
        lead = start - _BEFORE if start > _BEFORE else 0
        asked = _asks_of_all(text[lead:end], start - lead)
        if asked is not None:
            yield asked.further_on(lead)


@remembered
def _asks_of_all(text: str, start: int) -> Span | None:
    if _OF_ALL.search(text, start) and not SPOKEN_SQUARE.search(text, start):
        return Span(start, len(text))
    signed = _SIGNED.search(text, start)
    return Span(*signed.span()) if signed else None


def orders_over_all(text: str, end: int) -> Iterator[Span]:
    """Yield what is asked of every position below, in a heading that names several: "PROBLEMS (Mate in two)".

    `end` is where the first position stands.
    """
    for said in _OVER_ALL.finditer(text, 0, end):
        if text.count("\n", *said.span()) <= 1:
            yield Span(*said.span("order"))


def asks_many(words: str) -> bool:
    """Tell whether an order is one for several positions: "All are mates in two"."""
    return _MANY.search(words) is not None


def asks_of_several(words: str) -> bool:
    """Tell whether words are an order for several positions and no more than that."""
    return (asks_many(words) or bool(numbers_asked(words))) and NUMBERED_MOVE.search(words) is None


def numbers_asked(words: str) -> tuple[int, ...]:
    """Return the numbers of the puzzles that an order names, "11 and 12: mate in two"; none if it names none."""
    said = _NUMBERS.match(words)
    return () if said is None else _listed(said["list"])


def orders_by_number(text: str) -> Iterator[tuple[Span, tuple[int, ...]]]:
    """Yield the orders of a text that begin a line and name their puzzles, with the numbers."""
    for said in _NUMBERS.finditer(text):
        yield Span(*said.span()), _listed(said["list"])


def _listed(numbers: str) -> tuple[int, ...]:
    found: list[int] = []
    through = False
    for number, joint in re.findall(r"(\d+)\s*(,|and|&|to|[-–—])?", numbers):
        first = found[-1] + 1 if through and found else int(number)
        found += range(first, int(number) + 1)
        through = joint in ("to", "-", "–", "—")
    return tuple(found)
