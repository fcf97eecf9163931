"""Words beside moves that may tell a reply: each end of a sentence holds those of its sentence."""

import chess
from keyproof.grammar.frames.build import frames
from keyproof.grammar.frames.hints import with_hints
from keyproof.grammar.frames.values import Said
from keyproof.grammar.lexicon.lexemes import lexemes
from keyproof.grammar.spans import Span


def hints(text: str, tongue: str = "english", *, descriptive: bool = False) -> list[list[tuple[str, str]]]:
    """Return the hints of each sentence, each with its kind and its words."""
    whole = Span(0, len(text))
    given = lexemes(text, whole, tongue, descriptive=descriptive)
    told = with_hints(frames(text, given), text, [whole], given, tongue)
    return [
        [(hint.kind, hint.span.of(text)) for hint in frame.hints]
        for frame in told
        if isinstance(frame, Said) and frame.kind == "end"
    ]


def test_each_sentence_has_its_own() -> None:
    assert hints("Queen to b4, too. She is lost on f4 as well.") == [
        [("square", "b4"), ("back", "too")],
        [("lost", "lost"), ("square", "f4"), ("back", "as well")],
    ]


def test_a_verb_of_capture_is_one() -> None:
    assert ("lost", "taken") in hints("She is taken there.")[0]


def test_words_of_the_language_of_the_text() -> None:
    assert ("back", "igual") in hints("En c4, igual.", "spanish")[0]
    assert ("back", "ebenso") in hints("Auf f5 ebenso.", "german")[0]


def test_a_form_of_several_words_over_the_end_of_a_line() -> None:
    assert ("back", "no\nbetter") in hints("On f7 it is no\nbetter.")[0]


def test_squares_in_descriptive_notation_are_those_of_either_side() -> None:
    text = "The Bishop at QKt5 leaves him Kt7."
    given = lexemes(text, Span(0, len(text)), descriptive=True)
    told = with_hints(frames(text, given), text, [Span(0, len(text))], given, "english")
    end = next(frame for frame in told if isinstance(frame, Said) and frame.kind == "end")
    squares = [hint for hint in end.hints if hint.kind == "square"]
    assert [hint.old for hint in squares] == [True, True]
    assert squares[0].squares == chess.BB_B5


def test_nothing_is_a_hint_in_other_words() -> None:
    assert hints("White plays and wins.") == [[]]
