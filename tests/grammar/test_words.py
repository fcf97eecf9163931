"""Patterns made of lists of words. Source: the plain pattern, searched for without regard to case."""

import re

from hypothesis import given
from hypothesis import strategies as st
from keyproof.grammar.reasons import _WORDS, WORTH
from keyproof.grammar.words import one_of

WORDS = _WORDS.split()
PRINTED = ["a", "an", "at", "rank", "RANKS", "Rook", "r", "ra", "white", "WHITES", "Чёрные", "чё", "é"]
TEXTS = st.lists(st.sampled_from(PRINTED), max_size=8).map(" ".join)


@given(TEXTS)
def test_one_of_several_words_is_found_as_by_the_plain_pattern(text: str) -> None:
    words = ["an?", "ranks?", "rook", "r", "white", "чёрные"]
    quick, plain = re.compile(rf"\b(?:{one_of(words)})"), re.compile(rf"\b(?:{'|'.join(words)})", re.I)
    assert [found.span() for found in quick.finditer(text)] == [found.span() for found in plain.finditer(text)]


PARTS = sorted({part for word in WORDS for part in re.findall("[a-z]+", word)})
SAID = st.lists(st.sampled_from([*PARTS, *map(str.title, PARTS), " ", " ", " ", "-"]), max_size=12).map("".join)


@given(SAID)
def test_the_words_of_a_reason_are_found_as_by_the_plain_pattern(text: str) -> None:
    plain = re.compile(rf"\b(?:{'|'.join(WORDS)})\b", re.I)
    assert [found.span() for found in WORTH.finditer(text)] == [found.span() for found in plain.finditer(text)]
