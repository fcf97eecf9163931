"""Single printed moves that the round trips of tests/rules/test_printed_moves.py do not reach."""

import chess
import pytest
from keyproof.grammar.letters import LANGUAGES
from keyproof.grammar.lexicon.lexemes import lexemes
from keyproof.grammar.moves import MovePhrase, Sort, pick_language, read_move
from keyproof.grammar.scan import statements
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Turn
from msgspec.structs import asdict, replace


def phrases(text: str) -> list[MovePhrase]:
    found, _ = statements(text, [Span(0, len(text))])
    return [choice for statement in found if isinstance(statement, Turn) for choice in statement.choices]


@pytest.mark.parametrize(
    ("text", "promotion"),
    [
        ("1.e8=q", chess.QUEEN),  # PGN 8.2.3.7: import may mend the case
        ("1.e8=n+", chess.KNIGHT),
        ("1.e8=K", chess.KING),  # no promotion at all: the rules say so, the grammar keeps what is printed
        ("1.e8(♘)", chess.KNIGHT),
        ("1.e8♛#", chess.QUEEN),
        ("1.La2 2.e8D", chess.QUEEN),
        ("1.Ла2 2.e8К", chess.KNIGHT),
        ("1.Лa2 Крe1 2.e8(Ф)", chess.QUEEN),
    ],
)
def test_what_a_pawn_becomes(text: str, promotion: chess.PieceType) -> None:
    assert phrases(text)[-1].promotion == promotion


@pytest.mark.parametrize(
    ("text", "side"), [("1. 0–0–0!", "long"), ("1.O–O", "short"), ("1. 0−0", "short"), ("1.O-O-O", "long")]
)
def test_castling_with_any_dash(text: str, side: str) -> None:
    """FIDE Laws, C.13: 0-0 and 0-0-0; printers set dashes for hyphens."""
    assert [phrase.castling for phrase in phrases(text)] == [side]
    told = [each.phrase for each in lexemes(text, Span(0, len(text))) if each.phrase is not None]
    assert [phrase.castling for phrase in told] == [side]


@pytest.mark.parametrize("text", ["1...Kd8/R~ 2.Qb6#", "1...Kd8/R any 2.Qb6#"])
def test_a_stroke_before_a_set_of_moves_is_no_promotion(text: str) -> None:
    king, rooks, _ = phrases(text)
    assert (king.destination, king.promotion) == (chess.D8, None)
    assert (rooks.sort, rooks.piece) == (Sort.any_of_piece, chess.ROOK)


def test_alternatives_on_the_last_rank_are_two_moves() -> None:
    assert [phrase.destination for phrase in phrases("1...Kd8/Rd1")] == [chess.D8, chess.D1]


@pytest.mark.parametrize("selector", ["", "\ufe0e", "\ufe0f"])
def test_figurines_may_carry_a_variant_selector(selector: str) -> None:
    """Unicode standardises U+FE0E and U+FE0F after U+265F; printers put them after every figurine (common practice)."""
    (phrase,) = phrases(f"1.♘{selector}xf3+")
    assert (phrase.piece, phrase.destination, phrase.capture) == (chess.KNIGHT, chess.F3, True)


@pytest.mark.parametrize("text", ["R-e1", "Re1", "R\u2013e1", "R\u2212e1"])
def test_dashes(text: str) -> None:
    (phrase,) = phrases(text)
    assert (phrase.piece, phrase.destination) == (chess.ROOK, chess.E1)


@pytest.mark.parametrize(
    ("letters", "language"),
    [
        ("KQRBN", "en"),
        ("KQRBS", "en"),
        ("KDTLS", "de"),
        ("RDTFC", "fr"),
        ("RDTAC", "es"),
        ("KDTLP", "nl"),
        ("RDTBC", "pt"),
        ("KHWGS", "pl"),
        ("ФЛСК", "ru"),
        ("", "en"),
        ("QЛ", "en"),  # no one language
    ],
)
def test_the_language_that_has_all_the_letters(letters: str, language: str) -> None:
    """FIDE Laws C.2 for English, S: problem literature; the others: common practice, no source."""
    assert pick_language(set(letters)) == language


@pytest.mark.parametrize(
    "text", ["1.d5?", "1. d5?", "1...d5? 2.Kc4", "Try: d5? Kxd5!", "Try: d5? but Kxd5", "d5?!", "d5??", "Key: d5!"]
)
def test_a_pawn_may_move_badly(text: str) -> None:
    assert phrases(text)[0].destination == chess.D5
    assert phrases(text)[0].annotation in text.partition("d5")[2]
    assert phrases(text)[0].annotation


@pytest.mark.parametrize(
    "text", ["Who guards d5?", "Which man guards d5? The rook does.", "Does anything reach d5?\nNo."]
)
def test_a_question_about_a_square_is_no_move(text: str) -> None:
    assert phrases(text) == []


@pytest.mark.parametrize("text", ["Qd3xSf4+!?", "bxc8=Q++", "exf3 e.p.", "0-0-0#", "R~", "e8(N)", "f4"])
def test_a_move_read_before_is_read_as_for_the_first_time(text: str) -> None:
    first = read_move(text)
    again = read_move(text, offset=7)
    assert (read_move(text), hash(read_move(text)), repr(read_move(text))) == (first, hash(first), repr(first))
    assert again == MovePhrase(**asdict(again))
    for name in ("span", "origin_span", "capture_span", "promotion_span"):
        here, there = getattr(first, name), getattr(again, name)
        assert there == (None if here is None else Span(here.start + 7, here.end + 7))
        again = replace(again, **{name: here})
    assert [(effect, Span(start - 7, end - 7)) for effect, (start, end) in again.effects] == list(first.effects)
    assert replace(again, effects=first.effects) == first
    assert again.meaning == first.meaning


def test_a_move_read_before_in_another_language() -> None:
    assert [read_move("Be4", letters=LANGUAGES[language]).piece for language in ("en", "de", "en")] == [3, 1, 3]
