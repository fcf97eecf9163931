"""Texts that say by letter, number or ordinal of which position they speak go to that one."""

import pytest
from keyproof.grammar.labels import Labels, labels_of
from keyproof.grammar.spans import Span
from keyproof.linter.options import Options
from keyproof.linter.pipeline import cases_of, sections_of
from keyproof.linter.sources import document_from_text

A = "8/8/8/8/6P1/kN1R4/3K4/8 w - - 0 1"  # 1.Kc3, in three
B = "8/5pP1/8/8/2R5/B2K4/k7/5R2 w - - 0 1"  # 1.Rc3, in two


@pytest.mark.parametrize(
    ("title", "before", "label"),
    [
        ("", "Problem A.  ", "a"),
        ("", "Board B: ", "b"),
        ("", "   12c   ", "12c"),
        ("", "| B | `", "b"),
        ("A. White mates in 3", "", "a"),
        ("The bold king", "", None),
        ("", "White plays with his queen on ", None),
        ("A modest promotion", "", None),
        ("", "The elder sister reads ", "elder"),
    ],
)
def test_labels_of_positions(title: str, before: str, label: str | None) -> None:
    assert next(labels_of(title, before), None) == label


@pytest.mark.parametrize(
    ("words", "named"),
    [
        ("B. 1.Ra6! and mate next", 1),
        ("b) is not a label of these", None),
        ("Problem A: the rook goes up", 0),
        ("B/1  1.Qc2  zugzwang", 1),
        ("B   key 2, then one each", 1),
        ("B anywhere, and the queen mates", None),
        ("A pawn on the seventh is what counts", None),
        ("B looks like the same joke", 1),
        ("Begin with A. The king has two squares", 0),
        ("Now B, where the rook is pinned", 1),
        ("In A the queen takes too much; in B she reaches too little", None),
        ("Okay, the second one's the same again", 1),
        ("First one. White's got seven men", 0),
        ("Number two, the harder one", 1),
        ("As in the first one, castling", None),
        ("The second asks for a rook. 1.Qd8 stalemates", 1),
        ("And the first calls for patience", 0),
        ("The second threatens mate on d5", None),
        ("B) comes after somebody cracks the other", None),
        ("B will follow next week", None),
        ("It helps him not. No. 7...a1=Q, or any other piece", None),
        ("The second rank is swept clean", None),
        ("The first move is a surprise", None),
        ("The answer to No. 7 is the rook", 0),
        ("In the diagram two answers are waiting", None),
    ],
)
def test_what_a_text_names(words: str, named: int | None) -> None:
    assert Labels({"a": 0, "b": 1}, {7: 0, 8: 1}, [0, 1]).named(words, Span(0, len(words))) == named


@pytest.mark.parametrize(
    ("words", "named"),
    [
        ("Put the elder's queen on a2 and she is taken", 0),
        ("Now the younger", 1),
        ("The elder and the younger alike", None),
    ],
)
def test_positions_may_be_told_apart_by_how_they_compare(words: str, named: int | None) -> None:
    assert Labels({"elder": 0, "younger": 1}, {}, [0, 1]).named(words, Span(0, len(words))) == named


def test_the_next_one_follows_the_one_named_before() -> None:
    labels = Labels({}, {}, [0, 1])
    words = "thank you, next slide please"
    assert labels.following(words, Span(0, len(words)), 0) == 1
    assert labels.following(words, Span(0, len(words)), 1) is None


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("A: 1.Kc3! Ka4 2.Rd5.", "B: 1.Rc3! f5 2.g8Q."),
        ("The first one. King to c3, and on a4 the rook goes to d5.", "The second one. Rook to c3, f5, g8 a queen."),
    ],
)
def test_solutions_go_to_the_position_they_name(first: str, second: str) -> None:
    text = f"Two to solve.\n\nA  {A}\n\nB  {B}\n\n{first}\n{second}\n"
    document = document_from_text("x.txt", text, "text")
    cases = cases_of(document, sections_of(document, Options())[0], Options())
    assert [case.board.fen() if case.board else None for case in cases] == [A, B]
    owned = [" ".join(span.of(text) for span in case.puzzle.prose) for case in cases]
    assert first in owned[0]
    assert second in owned[1]


def test_a_talk_goes_on_with_its_first_position_until_the_next_is_announced() -> None:
    text = (
        "White king on d2, white rook on d3, white knight on b3, a white pawn on g4. Black's king is on a3.\n"
        "Knight to c5 is check and he hops to b2 or to b4.\n"
        "No. It's the king, to c3. If a4, the rook goes to d5.\n"
        "Right, one more, mate in two.\n"
        "White king d3, rooks c4 and f1, bishop a3, pawn g7. Black king a2 and a pawn on f7.\n"
        "The rook goes from c4 to c3.\n"
    )
    document = document_from_text("x.txt", text, "text")
    cases = cases_of(document, sections_of(document, Options())[0], Options())
    first, second = (" ".join(span.of(text) for span in case.puzzle.prose) for case in cases)
    assert "king, to c3" in first
    assert "one more" in second
    assert "king, to c3" not in second
