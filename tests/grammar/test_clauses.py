"""The clauses of a text: what its author does with each, and that every word lies in one.

The stances are those of ordinary English; common practice, no source.
"""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from keyproof.grammar.clauses import Clause, clauses
from keyproof.grammar.cues import Stance
from keyproof.grammar.letters import LANGUAGES
from keyproof.grammar.lexicon.lexemes import lexemes
from keyproof.grammar.lexicon.tongues import told_in
from keyproof.grammar.spans import Span
from keyproof.rules.reading.account import Standing, Taken, account

WORDS = "if but and the king queen pawn goes takes e4 b seven mate 1.Qb6! Kd5 sorry not would I wish Q: ? . , ; ( ) \n"


def cut(text: str) -> list[Clause]:
    return clauses(text, [Span(0, len(text))])


@pytest.mark.parametrize(
    ("text", "stance"),
    [
        ("Queen to b6 is mate.", Stance.asserted),
        ("It is not true that queen to b6 is mate.", Stance.denied),
        ("The king cannot go to a5.", Stance.denied),
        ("The king can't go to a5.", Stance.denied),
        ("What if queen to b6 is mate?", Stance.asked),
        ("What about queen to b6", Stance.asked),
        ("Is queen to b6 mate?", Stance.asked),
        ("Q: Does the queen go to b6?", Stance.asked),
        ("Q: The queen goes to b6.", Stance.quoted),
        ("> The queen goes to b6.", Stance.quoted),
        ("A reader thought that queen to b6 is mate.", Stance.quoted),
        ("I wish queen to b6 were mate.", Stance.wished),
        ("Queen to b6 would have been mate.", Stance.supposed),
        ("If the king goes to a5, ", Stance.asserted),
    ],
)
def test_the_stance_of_the_first_clause(text: str, stance: Stance) -> None:
    assert cut(text)[0].stance is stance


def test_a_correction_withdraws_what_stands_before_it() -> None:
    assert [(each.stance, each.span.of("Queen to b seven, sorry, b eight.")) for each in
            cut("Queen to b seven, sorry, b eight.")] == [
        (Stance.withdrawn, "Queen to b seven,"),
        (Stance.asserted, "sorry, b eight."),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "stances"),
    [
        ("2.Qc3#   –1   no mate, the king walks to d6", [Stance.quoted, Stance.asserted]),
        ("2.Qc3#   3   yes", [Stance.asserted]),
    ],
)
def test_a_paper_marked_down_is_not_what_the_author_says(text: str, stances: list[Stance]) -> None:
    assert [each.stance for each in cut(text) if each.holds_chess] == stances


def test_after_a_contrast_the_author_speaks_for_himself() -> None:
    first, second = cut("A reader thought the queen takes on a4, but the king goes to b7.")
    assert (first.stance, second.stance) == (Stance.quoted, Stance.asserted)


def test_what_a_remark_in_brackets_quotes_ends_with_it() -> None:
    first, second, third = cut("Here 1...Kd5 2.Qe4 (according to the book 1...Kd5 2.Qe3) and 1...Kf5 2.Qg4")
    assert (first.stance, second.stance, third.stance) == (Stance.asserted, Stance.quoted, Stance.asserted)


@pytest.mark.parametrize(
    "text",
    [
        'For "1...Kd5 2.Qe4" read "1...Kd5 2.Qe6".',
        'Instead of "2.Qe4" it should read: "2.Qe6".',
        'Im Text der Lösung steht "2.De4" und nicht das, was ich meinte, lies "2.De6".',
        'Au lieu de "2.De4" lire "2.De6".',
        'Donde dice "2.De4" debe decir "2.De6".',
        'Invece di "2.De4" leggi "2.De6".',
        'In plaats van "2.De4" lees "2.De6".',
    ],
)
def test_of_an_erratum_the_author_says_what_is_to_be_read(text: str) -> None:
    first, second = clauses(text, [Span(0, len(text))], *told_in(text, [Span(0, len(text))], LANGUAGES["en"]))
    assert (first.stance, second.stance) == (Stance.quoted, Stance.asserted)


def test_what_a_note_read_is_quoted() -> None:
    assert cut('The note that he left read "1.Qe6 solves".')[-1].stance is Stance.quoted


@pytest.mark.parametrize(
    ("text", "sentences"),
    [
        ("1.Rh5? Kxh5! 2.Qe4#", 1),
        ("1.d8? fails, and 1.g4?! looks careless.", 1),
        ("1. Q to R 5th, ch. K takes B; 2. Q to Kt 2d, mate.", 3),
        ("What about rook a2? King g2.", 2),
        ("1...Kd5 2.Qe4#\n1...Kf5 2.Qg4#", 2),
        ("The king goes\nto e4.", 1),
        ("The king goes to e4.\n\nThe queen follows", 2),
        ("...Kd5   2. Qe4\n...Kf5   2. Qg4 {as before}\n...Kh5   2. Qg4", 3),
        ("He may go ...Kd5,\n...Kf5 or ...Kh5", 1),
        ('For "1.Qd3" read "1.Qd5".\np. 7, for "1.Qc3" read "1.Qc5".', 2),
    ],
)
def test_where_a_sentence_ends(text: str, sentences: int) -> None:
    assert len({each.sentence for each in cut(text)}) == sentences


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("The king might go to a5.", "might"),
        ("The queen flumps the pawn on a4.", "flumps"),
        ("Not queen to a4.", "Not"),
        ("The bishop on d2 frobs b4", "frobs"),
        ("The bishop on d2 then quite frobs b4", "frobs"),
        ("Then 1...Bd2 frobs the queen", "frobs"),
        ("Then 1...Bd2 frobs e3", "frobs"),
    ],
)
def test_a_word_that_changes_what_is_said_is_named(text: str, word: str) -> None:
    assert word in [span.of(text) for each in cut(text) for span in each.uncovered]


def texts() -> st.SearchStrategy[str]:
    return st.one_of(st.text(), st.lists(st.sampled_from(WORDS.split(" "))).map(" ".join))


@given(texts())
def test_every_lexeme_lies_in_one_clause(text: str) -> None:
    found = cut(text)
    assert all(one.span.end <= other.span.start for one, other in pairwise(found))
    for lexeme in lexemes(text, Span(0, len(text))):
        if lexeme.kind != "line":
            assert sum(each.span.start <= lexeme.span.start < each.span.end for each in found) == 1
    for each in found:
        assert each.sentence.start <= each.span.start < each.span.end <= each.sentence.end
        assert all(each.span.start <= word.start < word.end <= each.span.end for word in each.uncovered)


TAKEN = st.builds(
    Taken,
    st.tuples(st.integers(0, 60), st.integers(1, 20)).map(lambda place: Span(place[0], place[0] + place[1])),
    st.booleans(),
    st.booleans(),
    st.booleans(),
)


@given(texts(), st.lists(TAKEN))
def test_placed_doubtful_and_not_understood_are_all(text: str, taken: list[Taken]) -> None:
    found = cut(text)
    said = account(found, taken)
    assert said.placed + said.doubtful + said.not_understood == said.total == len(said.entries)
    assert {each.clause.span for each in said.entries} >= {each.span for each in found if each.holds_chess}
    assert all(each.standing is Standing.doubtful for each in said.entries if each.words)


@pytest.mark.parametrize(
    ("read", "standing"), [("The king goes to c2", "doubtful"), ("goes to c2 and mates", "placed")]
)
def test_a_mate_that_nothing_has_taken_is_not_understood(read: str, standing: str) -> None:
    text = "The king goes to c2 and mates."
    start = text.index(read)
    (entry,) = account(cut(text), [Taken(Span(start, start + len(read)))]).entries
    assert entry.standing.value == standing


def test_zugzwang_in_quotation_marks_is_what_another_said() -> None:
    text = 'Two mates are threatened, so nothing for "waiting move".'
    (*_, last) = clauses(text, [Span(0, len(text))])
    assert last.stance is Stance.quoted


@pytest.mark.parametrize("words", ["My gut says queen e4 check.", "Everybody's instinct says rook takes c6."])
def test_what_a_feeling_says_is_not_asserted(words: str) -> None:
    (*_, last) = clauses(words, [Span(0, len(words))])
    assert not last.asserts
