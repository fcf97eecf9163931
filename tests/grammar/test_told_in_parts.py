"""The words of a telling are cut line by line where no form goes on: they are those of the text cut as a whole."""

from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from keyproof.grammar import told_words as module
from keyproof.grammar.spans import Span
from keyproof.grammar.told_words import told_words

whole = module._told_in.__wrapped__  # type: ignore[attr-defined]
TEXTS = sorted((Path(__file__).parents[2] / "corpus").rglob("*.txt"))
WORDS = st.sampled_from(
    (
        *(
            "king",
            "a",
            "eight",
            "h four",
            "next",
            "to",
            "white",
            "has",
            "it's",
            "1",
            "12",
            "Kg2",
            "exd6",
            "b8=Q",
            "ep",
            "on",
        ),
    )
)
SIGNS = st.sampled_from((" ", " ", ".", ",", "!", "?", ":", ")", "(", "…", "\n", "\n", "\r\n", "\n\n", "\n  ", "- "))


def same(text: str) -> None:
    assert list(told_words(text, Span(0, len(text)))) == whole(text)


@given(st.lists(st.one_of(WORDS, SIGNS), max_size=40).map("".join))
@example("1)\nKing, a\neight.\nAte")
def test_words_and_signs_in_any_order(text: str) -> None:
    same(text)


@pytest.mark.parametrize("path", TEXTS, ids=[path.name for path in TEXTS])
def test_texts_of_the_corpus(path: Path) -> None:
    same(path.read_text(encoding="utf-8", errors="replace"))
