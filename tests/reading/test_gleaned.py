"""Positions put together out of men and squares, in whatever manner people name them, with no form of them known.

The men are those of the demonstration columns, set out by python-chess; manners of telling: common practice, no source.
"""

import re
from collections.abc import Callable
from pathlib import Path

import chess
import pytest
from keyproof.grammar import positions
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.rules.board.stipulation import Stipulation
from keyproof.rules.proof.prover import prove


def sound(fen: str) -> bool:
    return len(prove(chess.Board(f"{fen} w - - 0 1"), TWO_MOVES).keys) == 1


TWO_MOVES = Stipulation.parse("#2")
PRINTED = re.compile(r"(?<=`)[1-8pnbrqkPNBRQK]+(?:/[1-8pnbrqkPNBRQK]+){7}(?= w - -)")
FENS = sorted(
    filter(sound, {fen for path in Path("corpus/demo").glob("*.md") for fen in PRINTED.findall(path.read_text())})
)
SPOKEN = {str(n + 1): word for n, word in enumerate(["one", "two", "three", "four", "five", "six", "seven", "eight"])}
Manner = Callable[[chess.BaseBoard], str]


def men(board: chess.BaseBoard, colour: chess.Color) -> list[tuple[str, str]]:
    """Return the men of a side, the king first, each with its square."""
    found = [(piece, square) for square, piece in board.piece_map().items() if piece.color is colour]
    found.sort(key=lambda man: -man[0].piece_type)
    return [(chess.piece_name(piece.piece_type), chess.square_name(square)) for piece, square in found]


def spoken(square: str) -> str:
    return f"{square[0]} {SPOKEN[square[1]]}"


def dictated(board: chess.BaseBoard) -> str:
    """As a speaker of whom a machine wrote down every word, who corrects himself once."""
    white = " ".join(f"{name} {spoken(square)}" for name, square in men(board, chess.WHITE))
    black = " and then ".join(f"a {name} um on {spoken(square)}" for name, square in men(board, chess.BLACK))
    return f"alright so tonight's one white has got {white} and uh facing that lot black with {black} okay mate in two"


def in_sentences(board: chess.BaseBoard) -> str:
    white = ", ".join(f"{name} {square}" for name, square in men(board, chess.WHITE))
    black = ", ".join(f"{name} {square}" for name, square in men(board, chess.BLACK))
    return f"My aunt's little problem opposes White's {white} to a Black force which is {black}. Mate in two moves."


def in_letters(board: chess.BaseBoard) -> str:
    sides = [
        " ".join(f"{'N' if name == 'knight' else name[0].upper()}{square}" for name, square in men(board, colour))
        for colour in chess.COLORS
    ]
    return f"Position (from the postcard), white {sides[0]} and against them, black {sides[1]}. Mate in two."


def square_first(board: chess.BaseBoard) -> str:
    told = [
        f"{square}: {'white' if colour else 'black'} {name}"
        for colour in chess.COLORS
        for name, square in men(board, colour)
    ]
    return "Mate in two. Take your pencil and write, " + "; ".join(told) + "."


@pytest.fixture
def no_forms(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let no position be read by its form."""
    monkeypatch.setattr(positions, "find_told", lambda text: ())
    monkeypatch.setattr(positions, "find_lists", lambda text: ())
    monkeypatch.setattr(positions, "find_tables", lambda document: ())


def shown(text: str) -> list[str]:
    result = check_text("a.txt", text, Options(fresh=True))
    return [puzzle.fen.split()[0] for puzzle in result.puzzles if puzzle.fen]


@pytest.mark.usefixtures("no_forms")
@pytest.mark.parametrize("fen", FENS)
@pytest.mark.parametrize("manner", [dictated, in_sentences, in_letters, square_first], ids=lambda each: each.__name__)
def test_men_and_squares_make_the_position_that_is_sound(fen: str, manner: Manner) -> None:
    text = manner(chess.BaseBoard(fen))
    assert shown(f"{text}\n\nNow for the answer.\n") == [fen], text


@pytest.mark.parametrize(
    "text",
    [
        "The knight on f3 guards e1 and the king on g1 has no square, so queen h5 mates. Black's king on e8 was lost.",
        "1.Kg2! Kh4 2.Re4 mate. If 1...h4 then 2.Re4 mate, for the king on h5 has no g5, which the knight on e6 sees.",
        "White king to e2, black king to e7, white rook to a1, and after that black rook to h8 and pawn to a6: a draw.",
    ],
)
def test_men_that_are_only_spoken_of_make_no_position(text: str) -> None:
    assert shown(text) == []


def test_men_that_make_no_sound_puzzle_make_no_position(no_forms: None) -> None:
    assert shown("White has a king on e1 and a queen on d2, Black his king on e8 and a rook on a8. Mate in two.") == []


def test_what_is_put_on_another_square_stands_there_alone(no_forms: None) -> None:
    fen = FENS[0]
    name, square = men(chess.BaseBoard(fen), chess.WHITE)[1]
    told = in_sentences(chess.BaseBoard(fen)).replace(f"{name} {square}", f"{name} a1, no, sorry, {square}")
    assert shown(told) == [fen], told


@pytest.mark.parametrize(("men", "found"), [("Kg7, Qf8, Rd1", []), ("Kg7, Qf8, Rd1, Qd1", ["unreadable-position"])])
def test_a_printed_list_with_a_fault_stands_though_a_sound_position_is_in_it(men: str, found: list[str]) -> None:
    text = f"White: {men}; Black: Kh5, d5, f2.\nMate in two.\n\n1.Qf4!\n"
    assert [each.finding.rule for each in check_text("a.txt", text, Options(fresh=True)).findings] == found
