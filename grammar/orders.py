"""What is asked of several positions at once, and orders in other languages than English.

"11 and 12: mate in two" is asked of these two, "Both mate in two" and "All are mates in two" of
every position that has no order of its own. Words of other languages: common practice, no source.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from .spans import Span
from .traces import NUMBERED_MOVE
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
_FOREIGN = re.compile(
    rf"\b(?:matt?|matto|mate|мат)\s+(?:in|en|em|w|i|на|в)\s+(?P<after>{_N})\b"
    rf"|\bin\s+(?P<before>{_N})\s+(?:zügen|zetten)\s+(?:matt?)\b",
    re.I,
)
_MANY = re.compile(
    r"^\W*(?:all|both|each|every|these|they|the\s+following|here)\b[^.!?:;\d]{0,60}?\bmates?\b|^\W*mates\s+in\b"
    r"|\b(?:beide|alle|tous|toutes|les\s+deux|todos|todas|ambos|ambas|tutti|tutte|entrambi)\b[^.!?;\d]{0,60}?\bmatt?[oe]?\b"
    r"|\b(?:two|three|four)-?movers\b|\bmates?\s+in\s+\w+(?:\s+moves)?\s+(?:each|every\s+time|in\s+(?:each|every|all))\b",
    re.I,
)
_FEW = {word: number for word, number in NUMBERS.items() if 2 <= number <= 6} | {str(n): n for n in range(2, 7)}
_NTH = {word: number for word, number in ORDINALS.items() if 2 <= number <= 6}
_NTH |= {"2nd": 2, "3rd": 3, "4th": 4, "5th": 5, "6th": 6}
_TOLD = re.compile(
    r"\bmated?s?,?\s+(?:on|at|by|with)\s+"
    rf"(?:(?:the|your|his|her|its|our|white's)\s+(?P<nth>{one_of(_NTH)})(?:\s+move)?|move\s+(?P<move>{one_of(_FEW)}))\b"
    rf"|\bin\s+(?P<in>{one_of(_FEW)})\s+moves?\b[^.!?\r\n\d]{{0,12}}\bmate\b"
    rf"|\b(?P<moves>{one_of(_FEW)})\s+moves\b[^.!?\r\n\d]{{0,20}}\b(?:white|you)\s+to\s+mate\b"
    rf"|\b(?P<mover>{one_of(_FEW)})-?movers?\b"
    rf"|\((?P<alone>{one_of(_FEW)})\s+moves?\)",
    re.I,
)
_ORDERS = re.compile(r"\b(?:white|you|your|black|to\s+(?:play|move)|movers?)\b", re.I)
_NO_ORDER = re.compile(r"\b(?:no|not|cannot|never|if|unless|without|would|could|after|when)\b|n['’]t\b", re.I)
_SENTENCE = re.compile(r"[^.!?;\r\n]+")
_NUMBERS = re.compile(
    r"^[ \t*_#]*(?:nos?\.?\s*|problems?\s+|puzzles?\s+|diagrams?\s+)?"
    r"(?P<list>\d{1,4}(?:\s*(?:,|and|&|to|[-–—])\s*\d{1,4})+)\s*[:,.–—-]"
    r"(?=[^.!?\r\n]{0,60}?(?:\bmates?\s+in\b|#\s?\d))[^.!?\r\n]*",
    re.I | re.M,
)


@dataclass(frozen=True)
class Order:
    """A stipulation in other words than "mate in two": its place and what it says in English."""

    span: Span
    english: str


def foreign_orders(text: str, span: Span) -> Iterator[Order]:
    """Yield the orders in `span` that other languages than English print."""
    for said in _FOREIGN.finditer(text, *span):
        number = _COUNTED[(said["after"] or said["before"]).lower()]
        yield Order(Span(*said.span()), f"mate in {number}")


def told_orders(text: str, span: Span) -> Iterator[Order]:
    """Yield the orders in `span` that a speaker tells: "White moves, and mate on the second move"; "a two-mover".

    What names a square is no order but play: "the knight answers on b6 and mates on move three".
    """
    for sentence in _SENTENCE.finditer(text, *span):
        said = _TOLD.search(text, *sentence.span())
        if said is None or (not said["mover"] and SPOKEN_SQUARE.search(text, *sentence.span())):
            continue
        ordered = said["alone"] or _ORDERS.search(text, *sentence.span())
        if ordered and not _NO_ORDER.search(text, *sentence.span()):
            number = next(filter(None, said.groups())).lower()
            yield Order(Span(*said.span()), f"mate in {_NTH.get(number) or _FEW[number]}")


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
