"""The sentences of a telling are cut from parts where no form goes on: they are those of the text cut as a whole."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from keyproof.grammar import told_words
from keyproof.grammar.spans import Span
from keyproof.grammar.told_words import PUT_NOTHING, Said, sentences_told

TEXTS = sorted((Path(__file__).parents[2] / "corpus").rglob("*.txt"))
WORDS = st.sampled_from(
    ("king", "a", "eight", "h four", "next", "to", "white", "has", "it's", "1", "12", "Kg2", "exd6", "b8=Q", "ep", "on")
)
SIGNS = st.sampled_from((" ", " ", ".", ",", "!", "?", ":", ")", "(", "…", "\n", "\n", "\r\n", "\n\n", "\n  ", "- "))


def cut_as_a_whole(text: str, *, by_line: bool) -> Iterator[list[Said]]:
    current: list[Said] = []
    for word in told_words.words_told(text):
        if word.does == "asked":
            current.append(word)
        if word.does in ("end", "asked") or (by_line and word.text == "\n"):
            yield current
            current = []
        else:
            current.append(word)
    yield current


def same(text: str) -> None:
    for by_line in (False, True):
        found = list(sentences_told(text, Span(0, len(text)), by_line=by_line))
        whole = [
            words
            for words in cut_as_a_whole(text, by_line=by_line)
            if any(word.does not in ("join", "asked") for word in words)
        ]
        assert [[(word.does, word.value, word.text) for word in words] for words in found] == [
            [(word.does, word.value, word.text) for word in words] for words in whole
        ]
        for words, expected in zip(found, whole, strict=True):
            if any(word.does not in PUT_NOTHING for word in words):
                assert list(words) == expected  # with their places in the text


@given(st.lists(st.one_of(WORDS, SIGNS), max_size=40).map("".join))
@example("1)\nKing, a\neight.\nAte")
def test_words_and_signs_in_any_order(text: str) -> None:
    same(text)


@pytest.mark.parametrize("path", TEXTS, ids=[path.name for path in TEXTS])
def test_texts_of_the_corpus(path: Path) -> None:
    same(path.read_text(encoding="utf-8", errors="replace"))
