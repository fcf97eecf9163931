"""No text made of words that the lexicon knows stops the frames, and no frame leaves the text."""

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from keyproof.grammar.frames.build import frames
from keyproof.grammar.lexicon.lexemes import lexemes
from keyproof.grammar.lexicon.table import table_of
from keyproof.grammar.spans import Span

_FORMS = [" ".join(form) for tongue in ("english", "german", "french") for form in table_of(tongue).forms]
_SIGNS = (". ", "? ", "! ", ", ", "; ", ": ", "\n", "\n\n", " - ", " (", ") ", "... ", "?\n\n", " | ", "> ", "/")
_MOVES = [
    "Qb6",
    "Sf4!",
    "e4",
    "Kd5",
    "O-O",
    "1.",
    "1...",
    "2.",
    "a8=Q+",
    "h7",
    "c3",
    "a",
    "P-K4",
    "R~",
    "file",
    "Kt",
    "3",
    "two",
]
TEXTS = st.builds(
    "".join,
    st.lists(
        st.sampled_from(_FORMS).map("{} ".format) | st.sampled_from(_MOVES).map("{} ".format) | st.sampled_from(_SIGNS),
        max_size=14,
    ),
)


@given(TEXTS, st.booleans())
@example("And the threat?\n\n", False)
@example("wanting to ?\n\nlassen 1... ", False)
def test_words_in_any_order_are_framed(text: str, flowing: bool) -> None:
    for frame in frames(text, lexemes(text, Span(0, len(text))), flowing=flowing):
        assert 0 <= frame.span.start <= frame.span.end <= len(text)


@pytest.mark.parametrize("blank", ["\n", "\n\n", "\n\n\n"])
def test_what_a_question_asks_for_may_stand_behind_an_empty_line(blank: str) -> None:
    text = f"And the threat?{blank}Queen to d4."
    move = next(each for each in frames(text, lexemes(text, Span(0, len(text)))) if hasattr(each, "ways"))
    assert "threat" in move.marks
