"""What is asked of several positions at once, and orders in other languages than English.

"11 and 12: mate in two" is asked of these two, "Both mate in two" and "All are mates in two" of
every position that has no order of its own. Words of other languages: common practice, no source.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from .spans import Span
from .traces import NUMBERED_MOVE
from .words import one_of

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
    rf"\b(?:matt?|matto|mate|мат)\s+(?:in|en|em|w|i|на|в)\s+(?P<after>{_N})\s+"
    r"(?:zügen?|zetten|coups|jugadas|movimientos|mosse|lances|posunięciach|drag|ход\w*)\b"
    rf"|\bin\s+(?P<before>{_N})\s+(?:zügen|zetten)\s+(?:matt?)\b",
    re.I,
)
_MANY = re.compile(
    r"^\W*(?:all|both|each|every|these|they|the\s+following|here)\b[^.!?:;\d]{0,60}?\bmates?\b|^\W*mates\s+in\b|\btwo-?movers\b",
    re.I,
)
_NUMBERS = re.compile(
    r"^[ \t*_#]*(?:nos?\.?\s*|problems?\s+|puzzles?\s+|diagrams?\s+)?"
    r"(?P<list>\d{1,4}(?:\s*(?:,|and|&|to|[-–—])\s*\d{1,4})+)\s*[:,.–—-]"
    r"(?=[^.!?\r\n]{0,60}?(?:\bmates?\s+in\b|#\s?\d))[^.!?\r\n]*",
    re.I | re.M,
)


@dataclass(frozen=True)
class Order:
    """A stipulation in words of another language: its place and what it says in English."""

    span: Span
    english: str


def foreign_orders(text: str, span: Span) -> Iterator[Order]:
    """Yield the orders in `span` that other languages than English print."""
    for said in _FOREIGN.finditer(text, *span):
        number = _COUNTED[(said["after"] or said["before"]).lower()]
        yield Order(Span(*said.span()), f"mate in {number}")


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
