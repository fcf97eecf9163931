"""Stipulations in words and signs: who begins, who mates, and what is not known is not guessed."""

import chess
import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.linter.positions import board_of
from keyproof.linter.results import FileResult


def checked(text: str) -> FileResult:
    return check_text("t.txt", text, Options(effort=1))


def rules(text: str) -> list[str]:
    return [placed.finding.rule for placed in checked(text).findings]


LIST = "White: Kd7, Rf7; Black: Kb8, Pd6\n"


@pytest.mark.parametrize(
    ("words", "symbol", "white_begins"),
    # Genres and symbols: WFCC Codex, Art. 2. Black begins in help play of whole moves (common practice, no source).
    [
        ("Mate in two.", "#2", True),
        ("White to play and mate in 3 moves", "#3", True),
        ("#2", "#2", True),
        ("2#", "#2", True),
        ("Selfmate in 2.", "s#2", True),
        ("s#2", "s#2", True),
        ("Reflexmate in 2", "r#2", True),
        ("Stalemate in 2", "=2", True),
        ("Helpmate in 2", "h#2", False),
        ("h#2", "h#2", False),
        ("h#2.5", "h#2.5", True),
        ("helpmate in 2½", "h#2.5", True),
        ("helpmate in two and a half", "h#2.5", True),
        ("Helpstalemate in 2", "h=2", False),
        ("h=2", "h=2", False),
        ("Black to move. Mate in 2.", "#2", False),
        ("Mate in 2. Black to play.", "#2", False),
    ],
)
def test_what_is_asked_and_who_begins(words: str, symbol: str, white_begins: bool) -> None:
    puzzle = checked(LIST + words + "\n").puzzles[0]
    assert puzzle.stipulation == symbol
    assert puzzle.fen is not None
    assert (chess.Board(puzzle.fen).turn == chess.WHITE) == white_begins


@pytest.mark.parametrize(
    "words",
    [
        "Series-helpmate in 5",
        "Series helpmate in 5.",
        "ser-h#5",
        "Semi-reflexmate in 2",
        "Helpselfmate in 3",
        "hs#3",
        "Proof game in 7.5",
    ],
)
def test_an_unknown_genre_is_said_to_be_unknown(words: str) -> None:
    """The longer name holds a known one, which must not be taken for it."""
    result = checked(LIST + words + "\n")
    assert [placed.finding.rule for placed in result.findings] == ["unknown-stipulation"]
    assert result.puzzles[0].stipulation is None
    assert result.puzzles[0].verdict == "no-claim"


def test_the_right_side_mates() -> None:
    """In a selfmate Black's last move mates White; in a helpmate White's mates Black."""
    selfmate = "White: Ka1, Qg2, Rb3, Pa2; Black: Kh8, Rb8, Pg7, Ph7\n"
    assert "wrong-side" not in rules(selfmate + "Selfmate in 1.\n1.Qg1 Rxb3\n")
    assert rules(LIST + "h#2\n1.d5 Kc6 2.Kc8 Rf8#\n") == []
    assert rules(LIST + "h#2\n1.d5 Kc6 2.Kc8 Rf8+\n") != []


def test_half_moves_begin_with_white() -> None:
    text = "White: Kd7, Rf7; Black: Kb8, Pd5\nh#1.5\n1...Kc6 2.Kc8 Rf8#\n"
    assert rules(text) == []
    assert rules(text.replace("1...Kc6 2.Kc8 Rf8#", "1.Kc8 Kc6 2.d4 Rf8#")) != []  # Black first


def test_a_position_that_is_typed_in_keeps_the_rights_it_states() -> None:
    """The convention fills in what a position leaves open (Codex 16(1)); a whole FEN leaves nothing open."""
    placement = "4k2r/5ppp/3K4/1P4N1/8/7R/8/8"  # the diagram proves that Black cannot castle
    assert board_of(f"{placement} w k - 0 1", chess.WHITE).castling_rights == chess.BB_H8
    assert board_of(placement, chess.WHITE).castling_rights == chess.BB_EMPTY
    assert board_of("4k2r/5ppp/3K4/1P4N1/8/7R/8/7n", chess.WHITE).castling_rights == chess.BB_H8
