"""Captures that are said to be made en passant, in words of any order; FIDE Laws 3.7.3.1 for what that is."""

import pytest
from keyproof.grammar.frames.build import frames
from keyproof.grammar.frames.values import Move
from keyproof.grammar.lexicon.lexemes import lexemes
from keyproof.grammar.spans import Span


def told(text: str, tongue: str = "english") -> list[bool]:
    """Return of each capture whether it is told as one en passant."""
    found = frames(text, lexemes(text, Span(0, len(text)), tongue))
    moves = [each.ways[0].choices[0] for each in found if isinstance(each, Move)]
    return [phrase.en_passant for phrase in moves if phrase.capture]


@pytest.mark.parametrize(
    "text",
    [
        "If the pawn goes to b five, our pawn takes it en passant and it is mate.",
        "b five is met by the a-pawn taking it in passing.",
        "Then the c-pawn captures on b six, en passant.",
        "He pushes to b five and we capture it ep.",
        "The pawn on a five takes b six, in passing, of course.",
    ],
)
def test_a_capture_en_passant_is_told(text: str) -> None:
    assert told(text)[-1:] == [True]


@pytest.mark.parametrize("text", ["Our pawn takes it.", "En passant is not to be had here; our pawn takes b six."])
def test_any_other_capture_is_not(text: str) -> None:
    assert told(text) == [False]


@pytest.mark.parametrize("text", ["1.fxg6+ e.p. Kh8", "1.fxg6 e.p.+ Kh8", "1.fxg6+ ep Kh8", "2.fxg6# e. p."])
def test_the_sign_stands_before_or_behind_that_of_check(text: str) -> None:
    assert told(text) == [True]
