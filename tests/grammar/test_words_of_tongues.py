"""Words of other languages than English: how they are parted and put into frames (usage of the trade, no source)."""

from pathlib import Path

import chess
import pytest
from keyproof.grammar.frames.build import frames
from keyproof.grammar.frames.values import Frame, Move
from keyproof.grammar.letters import LANGUAGES, SIDES, WORDS
from keyproof.grammar.lexicon.lexemes import Lexeme, lexemes
from keyproof.grammar.lexicon.table import table_of
from keyproof.grammar.lexicon.tongues import TONGUES, told_in
from keyproof.grammar.orders import _TWO_TO_NINE
from keyproof.grammar.spans import Span


def cut(text: str, tongue: str) -> list[Lexeme]:
    return lexemes(text, Span(0, len(text)), tongue, LANGUAGES[TONGUES[tongue]])


def moves(text: str, tongue: str) -> list[Move]:
    found: list[Frame] = frames(text, cut(text, tongue))
    return [each for each in found if isinstance(each, Move)]


@pytest.mark.parametrize("tongue", TONGUES)
def test_a_language_stands_in_every_table(tongue: str) -> None:
    """A language that one of them lacks would end each check of a text in it."""
    code = TONGUES[tongue]
    assert table_of(tongue).words
    assert all(code in table for table in (LANGUAGES, WORDS, SIDES))
    assert tongue == "english" or code in _TWO_TO_NINE


@pytest.mark.parametrize("tongue", sorted(TONGUES.keys() - {"english"}))
def test_a_language_has_a_true_and_a_faulty_column(tongue: str) -> None:
    folder = Path(__file__).parents[1] / "reading" / "tongues"
    assert all(
        (folder / f"{tongue}_{kind}.{ending}").is_file() for kind in ("true", "faulty") for ending in ("txt", "json")
    )


def test_the_tables_of_letters_know_the_same_languages() -> None:
    assert LANGUAGES.keys() == WORDS.keys() == SIDES.keys() == _TWO_TO_NINE.keys() | {"en"}


def test_a_compound_is_the_man_and_what_he_does() -> None:
    man, move = cut("Königszug", "german")
    assert (man.text, man.sense("man")) == ("Königs", "king")
    assert (move.text, move.sense("unit")) == ("zug", "move")


def test_an_elided_word_stands_by_itself() -> None:
    assert [each.text for each in cut("l'autre dame", "french")] == ["l'", "autre", "dame"]
    assert [each.text for each in cut("aujourd'hui", "french")] == ["aujourd'hui"]
    assert cut("D’abord", "french")[0].sense("anchor") == "diagram"


def test_english_parts_no_such_words() -> None:
    table = table_of("english")
    assert not table.stems
    assert not table.elided


@pytest.mark.parametrize(
    ("tongue", "text", "piece", "to"),
    [
        ("german", "Wenn der König nach d3 geht", chess.KING, "d3"),
        ("german", "Auf d5 schlägt der Turm", chess.ROOK, "d5"),
        ("german", "Der Springer kann auf f7 schlagen", chess.KNIGHT, "f7"),
        ("german", "Der Turm h8 zieht nach h1", chess.ROOK, "h1"),
        ("french", "Le roi noir va en d3", chess.KING, "d3"),
        ("french", "La dame donne mat en d5", chess.QUEEN, "d5"),
        ("spanish", "El alfil va hacia c6", chess.BISHOP, "c6"),
        ("italian", "L'alfiere nero prende in b5", chess.BISHOP, "b5"),
        ("dutch", "Gaat de koning naar d3", chess.KING, "d3"),
    ],
)
def test_a_man_goes_to_a_square_in_any_order(tongue: str, text: str, piece: int, to: str) -> None:
    (move,) = moves(text, tongue)
    assert (piece, chess.parse_square(to)) in {
        (phrase.piece, phrase.destination) for way in move.ways for phrase in way.choices
    }


@pytest.mark.parametrize(
    ("tongue", "text", "piece", "captured"),
    [
        ("german", "Wenn der König den Turm schlägt", chess.KING, chess.ROOK),
        ("german", "Den Turm schlägt der König", chess.KING, chess.ROOK),
        ("german", "Schlägt der König den Turm", chess.KING, chess.ROOK),
        ("german", "Wenn Schwarz die Dame schlägt", None, chess.QUEEN),
        ("french", "Le roi prend le fou", chess.KING, chess.BISHOP),
        ("dutch", "Slaat de koning het paard", chess.KING, chess.KNIGHT),
    ],
)
def test_who_takes_and_who_is_taken(tongue: str, text: str, piece: int | None, captured: int) -> None:
    (move,) = moves(text, tongue)
    phrase = move.ways[0].choices[0]
    assert (phrase.capture, phrase.piece, phrase.captured) == (True, piece, captured)


def test_colour_and_file_may_stand_behind_the_man() -> None:
    (move,) = moves("Le pion noir f avance", "french")
    assert move.who is not None
    assert (move.who.colour, move.who.file) == (chess.BLACK, 5)


def test_a_verb_before_its_move_calls_that_move_a_refutation() -> None:
    first, reply = moves("1.Tf1? mit Matt, doch widerlegt 1...Kd5!", "german")
    assert "refute" not in str(first.marks)
    assert "refute" in reply.marks


@pytest.mark.parametrize(
    ("text", "tongue", "rook"),
    [
        ("Die Drohung ist 2.Td4 matt, und der Schlüssel 1.Kg5.", "german", "T"),
        ("La clave es 1.Rg5 y el rey negro no tiene jugadas.", "spanish", "T"),
        ("The key is 1.Rg5, and the black king has no moves.", "english", "R"),
    ],
)
def test_words_tell_the_language_and_with_it_the_letters(text: str, tongue: str, rook: str) -> None:
    found, letters = told_in(text, [Span(0, len(text))])
    assert found == tongue
    assert letters[rook] == chess.ROOK


def test_letters_that_the_language_of_the_words_does_not_know_stay() -> None:
    text = "Der Schlüssel ist 1.Qd4, und die Drohung 2.Rg5 matt."
    assert told_in(text, [Span(0, len(text))]) == ("german", LANGUAGES["en"])
