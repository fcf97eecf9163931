"""The words that are searched for in prose (`WORTH`) and the terminals of reasons.lark say the same.

A word that only one of the two knows is silently not read. Source: the grammar itself, taken apart by lark and by
Python's own parser of patterns.
"""

import re
from itertools import cycle, islice, product
from pathlib import Path
from re import _constants as signs  # type: ignore[attr-defined]
from re import _parser as patterns  # type: ignore[attr-defined]
from typing import Any

import pytest
from keyproof import grammar
from keyproof.grammar.building import parser
from keyproof.grammar.reasons import _WORDS, WORTH

LARK = parser((Path(grammar.__file__).parent / "reasons.lark").read_text(encoding="utf-8"))
TERMINALS = {each.name: each.pattern.to_regexp() for each in LARK.terminals}

_MANY = 400  # texts of one part of a pattern
_WITH_ANOTHER = {
    "CANNOT_GO",
    "THAT_ONE",
    "OUT_OF_BOUNDS",
    "LEAVES",
    "REPLIES_COUNTED",
    "REPLIES_OPEN",
    "MAKES_REPLIES",
    "GIVEN",
    "TAKES_AWAY",
    "FROM_KING",
    "AWAY_FROM",
    "SHADE",
    "AND_IT_IS",
    "CLOSED",
    "HAS_REPLIES",
}
"""Terminals of which some words make a reason only with the word of another one, which is searched for."""
_OF_TWO = {r"is\s+(?:given|granted)"}
_OF_TWO |= {word for word in _WORDS.split() if word.startswith("ha[sd]") or word.endswith("['’]s\\s+got")}
"""Words that are those of two terminals."""


def words_of(pattern: str) -> list[str]:
    """Return texts that a pattern takes, so many that each of its alternatives stands in one; what it only looks at
    is left out."""
    return _texts(patterns.parse(pattern))


def _texts(parsed: Any) -> list[str]:
    found = [""]
    for sign, value in parsed:
        part = _of_sign(sign, value)
        found = [one + other for one, other in _paired(found, part)]
    return found


def _of_sign(sign: Any, value: Any) -> list[str]:
    if sign is signs.LITERAL:
        return [chr(value)]
    if sign is signs.BRANCH:
        return [text for branch in value[1] for text in _texts(branch)]
    if sign is signs.SUBPATTERN:
        return _texts(value[3])
    if sign in (signs.MAX_REPEAT, signs.MIN_REPEAT):
        least, most, part = value
        return [text * times for times in {least, min(most, least + 1)} for text in (_texts(part) if times else [""])]
    if sign is signs.IN:
        return _of_set(value)
    if sign in (signs.AT, signs.ASSERT, signs.ASSERT_NOT):
        return [""]
    assert sign in (signs.ANY, signs.NOT_LITERAL), sign
    return ["x"]


def _of_set(members: Any) -> list[str]:
    kinds = {signs.CATEGORY_SPACE: " ", signs.CATEGORY_WORD: "x", signs.CATEGORY_DIGIT: "2"}
    found = []
    for sign, value in members:
        if sign is signs.LITERAL:
            found.append(chr(value))
        elif sign is signs.RANGE:
            found.append(chr(value[0]))
        elif sign is signs.CATEGORY and value in kinds:
            found.append(kinds[value])
    return found[:1] if found else ["x"]


def _paired(some: list[str], others: list[str]) -> list[tuple[str, str]]:
    """Pair two lists so that each member of both stands in a pair, all with all where these are few."""
    if len(some) * len(others) <= _MANY:
        return list(product(some, others))
    return list(islice(zip(cycle(some), cycle(others), strict=False), max(len(some), len(others))))


TEXTS = {name: words_of(pattern) for name, pattern in TERMINALS.items()}


@pytest.mark.parametrize("name", sorted(TEXTS.keys() - _WITH_ANOTHER))
def test_a_terminal_is_searched_for_in_all_its_words_or_in_none(name: str) -> None:
    found = [WORTH.search(text) is not None for text in TEXTS[name]]
    assert all(found) or not any(found), TEXTS[name][found.index(False)]


@pytest.mark.parametrize("word", sorted(set(_WORDS.split()) - _OF_TWO))
def test_a_word_that_is_searched_for_stands_in_a_terminal(word: str) -> None:
    worth = re.compile(rf"\b(?:{word})\b", re.I)
    assert any(worth.search(text) for texts in TEXTS.values() for text in texts)
