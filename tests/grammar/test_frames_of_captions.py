"""Captions have no signs: what a caption asks or leaves half understood says nothing of the others."""

from keyproof.grammar.cues import Stance
from keyproof.grammar.frames.build import frames
from keyproof.grammar.frames.values import Move
from keyproof.grammar.lexicon.lexemes import lexemes
from keyproof.grammar.spans import Span

LINES = "queen to c four check\n\n{}\n\nthe king goes to b two\n\nthen rook to a one mate\n\nand the {} to d five"


def told(before: str, last: str) -> list[Move]:
    """Return the moves of four captions that no sign parts."""
    text = LINES.format(before, last)
    given = frames(text, lexemes(text, Span(0, len(text))), flowing=True)
    return [each for each in given if isinstance(each, Move)]


def test_only_the_last_caption_is_asked() -> None:
    assert [each.stance for each in told("and so", "bishop")] == [Stance.asserted] * 4
    question = LINES.format("and so", "bishop") + "?"
    given = frames(question, lexemes(question, Span(0, len(question))), flowing=True)
    stances = [each.stance for each in given if isinstance(each, Move)]
    assert stances == [Stance.asserted] * 3 + [Stance.asked]


def test_an_unknown_word_covers_no_move_but_the_next() -> None:
    assert [bool(each.uncovered) for each in told("zorbs the quib", "bishop")] == [False, True, False, False]
