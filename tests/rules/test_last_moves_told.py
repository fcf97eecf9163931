"""A double step that the text tells opens the capture en passant (FIDE Laws 3.7.3.1; WFCC Codex 16(2))."""

import chess
import pytest
from keyproof.grammar.last_moves import tells_double_step
from keyproof.grammar.spans import Span
from keyproof.linter.options import Options
from keyproof.linter.pipeline import cases_of, sections_of
from keyproof.linter.sources import document_from_text
from keyproof.rules.board.stipulation import Stipulation
from keyproof.rules.proof.prover import prove

LIST = "White: Ka5, Qg7, Rg8, Nc6, pawns g5, h5, c2. Black: Kh3, pawns d4, f5. Mate in two."

TOLD = (
    "Black's last move was f7 to f5.",
    "And don't forget, Black's last move was that f-pawn, two squares.",
    "The pawn on f5 has just arrived from f7.",
    "The black pawn came from f7 this very moment.",
    "He has just pushed his pawn eff seven to eff five.",
    "The last move was a double step to f5.",
    "so i was not sure at first and neither was the chap who sat beside me but he had it from a book or so he said\n"
    "now important black's last move was that pawn from f seven two squares to f five i have that from him\n"
    "and if you ask me whether it could have been anything else no it could not have been anything else at all\n"
    "right so have a look at it and do not shout out the answer before the others have had a proper look as well",
    "Schwarz zog zuletzt f7-f5.",
    "Las negras acaban de jugar f7-f5.",
    "Les Noirs viennent de jouer f7-f5.",
)
NOT_TOLD = (
    "If the last move had been f7 to f5, White could capture in passing.",
    "The last move was not f7 to f5.",
    "Black's last move was f6 to f5.",
    "The f-pawn may make two squares at once.",
    "Black's last move was d7 to d5.",
    "His last hope is the f-pawn.",
)


def en_passant(words: str) -> int | None:
    document = document_from_text("x.txt", f"{LIST} {words}\n\n1.Kb5 d3 2.Qb2.\n", "text")
    (case,) = cases_of(document, sections_of(document, Options())[0], Options())
    assert case.board is not None
    return case.board.ep_square


@pytest.mark.parametrize("words", TOLD)
def test_a_double_step_that_is_told_opens_the_capture(words: str) -> None:
    assert en_passant(words) == chess.F6


@pytest.mark.parametrize("words", NOT_TOLD)
def test_what_is_only_supposed_or_is_another_move_opens_nothing(words: str) -> None:
    assert en_passant(words) is None


def test_words_count_beside_a_fen_whose_field_is_empty() -> None:
    text = "6R1/6Q1/2N5/K4pPP/3p4/7k/2P5/8 w - - 0 1\n\nThe last move was f7 to f5. Mate in two.\n\n1.Kb5 d3 2.Qb2.\n"
    document = document_from_text("x.txt", text, "text")
    (case,) = cases_of(document, sections_of(document, Options())[0], Options())
    assert case.board is not None
    assert case.board.ep_square == chess.F6


SOUND_IN_PASSING = "White: Kf5, Qg7, Nb8, pawn b5. Black: Kc8, pawn a5. Mate in two."
NEEDED = (
    "The a5 pawn was on a7 a second ago. It went two steps, whoosh.",
    "Take it en passant, that is the whole secret.",
    "Der Schlag im Vorbeigehen ist offen.",
)


def opened(words: str) -> int | None:
    document = document_from_text("x.txt", f"{SOUND_IN_PASSING} {words}\n\nNo solution yet.\n", "text")
    (case,) = cases_of(document, sections_of(document, Options())[0], Options())
    assert case.board is not None
    return case.board.ep_square


def test_the_position_has_its_one_key_with_the_capture_alone() -> None:
    board = chess.Board("1Nk5/6Q1/8/pP3K2/8/8/8/8 w - - 0 1")
    keys = [len(prove(board, Stipulation("#", 2)).keys)]
    board.ep_square = chess.A6
    assert [*keys, len(prove(board, Stipulation("#", 2)).keys)] == [0, 1]


@pytest.mark.parametrize("words", NEEDED)
def test_a_capture_that_is_spoken_of_and_needed_is_open(words: str) -> None:
    assert opened(words) == chess.A6


@pytest.mark.parametrize("words", ["Two pawns and a king.", "If it were his move he could not take en passant."])
def test_a_capture_that_is_needed_but_not_spoken_of_stays_closed(words: str) -> None:
    assert opened(words) is None


def test_a_sentence_may_go_on_in_the_next_line_of_its_column() -> None:
    text = "Black's last move was the   Another text.\npawn from f7 to f5.         It goes on."
    lines = [Span(0, 25), Span(42, 61)]
    assert tells_double_step(text, lines, chess.BLACK, chess.square_file(chess.F5))
    assert not tells_double_step(text, lines[:1], chess.BLACK, chess.square_file(chess.F5))
