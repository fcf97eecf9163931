"""Sentences in which the verb stands where English never has it, in several languages."""

import chess
import pytest
from keyproof.grammar.clauses import clauses
from keyproof.grammar.cues import Stance
from keyproof.grammar.frames.build import frames
from keyproof.grammar.frames.values import Move
from keyproof.grammar.letters import LANGUAGES
from keyproof.grammar.lexicon.lexemes import lexemes
from keyproof.grammar.lexicon.tongues import TONGUES
from keyproof.grammar.moves import Effect
from keyproof.grammar.spans import Span


def moves(text: str, language: str) -> list[Move]:
    given = lexemes(text, Span(0, len(text)), language, LANGUAGES[TONGUES[language]])
    return [each for each in frames(text, given) if isinstance(each, Move)]


@pytest.mark.parametrize(
    ("language", "text", "piece", "captured"),
    [
        ("german", "Wenn der König die Dame nimmt", chess.KING, chess.QUEEN),
        ("german", "Der König nimmt den Bauern h6 weg", chess.KING, chess.PAWN),
        ("dutch", "Als de koning de pion op h6 pakt", chess.KING, chess.PAWN),
        ("spanish", "Si el rey se come el peón de h6", chess.KING, chess.PAWN),
        ("italian", "Se il re si mangia il pedone in h6", chess.KING, chess.PAWN),
        ("french", "Si le roi croque le pion en h6", chess.KING, chess.PAWN),
    ],
)
def test_who_takes_and_who_is_taken(language: str, text: str, piece: int, captured: int) -> None:
    told = moves(text, language)[0].ways[0].choices[0]
    assert (told.piece, told.captured, told.capture) == (piece, captured, True)


@pytest.mark.parametrize(
    ("language", "text"),
    [
        ("german", "Nimmt dagegen der Bauer auf h6, so folgt Turm d7"),
        ("dutch", "Slaat echter de pion op h6, dan volgt toren d7"),
    ],
)
def test_a_word_of_contrast_may_stand_between_verb_and_man(language: str, text: str) -> None:
    first, answer = moves(text, language)
    told = [each for way in first.ways for each in way.choices]
    assert chess.PAWN in {each.piece for each in told}
    assert chess.H6 in {each.destination for each in told}
    assert chess.D7 in {each.destination for way in answer.ways for each in way.choices}


@pytest.mark.parametrize(
    ("language", "text"),
    [
        ("german", "Die Dame zieht nach d6, und er ist matt."),
        ("dutch", "De dame gaat naar d6 en hij staat mat."),
        ("spanish", "La dama va a d6 y el rey está mate."),
        ("english", "The queen goes to d6, and he is mate."),
    ],
)
def test_a_king_who_is_mate_was_mated_by_the_move_before(language: str, text: str) -> None:
    (told,) = moves(text, language)
    assert [effect for effect, _ in told.effects] == [Effect.mate]


@pytest.mark.parametrize(
    ("text", "mark"),
    [("Contra 1...a5 basta 2.Td4.", "then"), ("Contra 1.Tb6? basta 1...axb6.", "refute")],
)
def test_what_suffices_answers_or_refutes(text: str, mark: str) -> None:
    assert mark in moves(text, "spanish")[-1].marks


@pytest.mark.parametrize(
    ("language", "text"),
    [
        ("english", "The queen to d5 is not enough, because the king goes to d8."),
        ("german", "Die Dame auf d5 genügt nicht, denn der König geht nach d8."),
        ("french", "La dame en d5 ne suffit pas, car le roi va en d8."),
    ],
)
def test_why_something_fails_is_a_refutation(language: str, text: str) -> None:
    assert "refute" in moves(text, language)[-1].marks


@pytest.mark.parametrize(
    ("language", "text", "stance"),
    [
        ("german", "Ein Leser schrieb, dass 1...Kd6 die Widerlegung sei.", Stance.quoted),
        ("german", "Es ist nicht wahr, dass 2.Dc5 matt ist.", Stance.denied),
        ("french", "Un lecteur affirme que 2.Dc5 est mat.", Stance.quoted),
        ("spanish", "Supongamos que el rey va a d6.", Stance.supposed),
        ("italian", "Un lettore sostiene che 2.Dc5 è matto.", Stance.quoted),
        ("dutch", "Een lezer schreef dat 2.Dc5 mat is.", Stance.quoted),
        ("german", "Nach 1...Kd6 ist 2.Dc5 matt.", Stance.asserted),
    ],
)
def test_the_stance_of_a_clause_is_told_in_any_language(language: str, text: str, stance: Stance) -> None:
    found = clauses(text, [Span(0, len(text))], language, LANGUAGES[TONGUES[language]])
    assert stance in {clause.stance for clause in found if clause.holds_chess}


def test_all_moves_of_a_man_may_head_a_line() -> None:
    told = moves("Bien.\nLes coups du cavalier (1...Cb8, 1...Cc7) reçoivent tous 2.Dc7.", "french")[0]
    phrase = told.ways[0].choices[0]
    assert phrase.piece == chess.KNIGHT
    assert phrase.every
