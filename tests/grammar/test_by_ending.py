"""Words of which nothing but the ending is known, and what is said of the last of several moves."""

import pytest
from keyproof.grammar.lexicon.lexemes import lexemes
from keyproof.grammar.lexicon.table import table_of
from keyproof.grammar.spans import Span
from told_frames import moves_of


@pytest.mark.parametrize("word", ["gratefully", "evidently", "promptly", "unaccountably"])
def test_an_adverb_of_manner_changes_nothing(word: str) -> None:
    text = f"The queen {word} takes on b7"
    assert all(each.kind != "unknown" for each in lexemes(text, Span(0, len(text))))
    (move,) = moves_of(text)
    assert move.uncovered == ()


@pytest.mark.parametrize("word", ["originally", "illegally", "family", "Emily", "july", "xyly"])
def test_a_word_that_is_none_stays_unknown(word: str) -> None:
    assert table_of("english").by_ending(word.lower()) == ()


@pytest.mark.parametrize("word", ["wrongly", "supposedly"])
def test_what_was_done_wrongly_is_not_asserted(word: str) -> None:
    (meaning,) = lexemes(word, Span(0, len(word)))
    assert "hedge" in meaning.categories


@pytest.mark.parametrize(
    "words", ["2.Qe7 and 2.Qe6 drop out.", "2.Qe7 and 2.Qe6 do not work.", "but 2.Qe7 and 2.Qe6 fall away."]
)
def test_what_is_said_of_two_moves_joined_is_said_of_both(words: str) -> None:
    said = [bool(move.marks & {"fail", "was fail"}) or move.stance.value == "denied" for move in moves_of(words)]
    assert said == [True, True]


def test_what_is_said_of_an_answer_is_not_said_of_the_reply_before() -> None:
    reply, answer = moves_of("1...Kd5 and 2.Qe6 fails.")
    assert not reply.marks & {"was fail"}
    assert answer.marks & {"was fail"}
