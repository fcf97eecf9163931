"""Moves told in words: whatever way a legal move is told, the words mean it, and no move of another man."""

from pydoc_data.topics import topics

import chess
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from keyproof.grammar.moves import MovePhrase
from keyproof.grammar.scan import statements
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Turn
from keyproof.grammar.words import rank_of, square_of
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.rules.board.resolve import meant_moves
from keyproof.rules.finding import Level
from strategies import moves

NUMBERS = ("one", "two", "three", "four", "five", "six", "seven", "eight")
ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")
LETTERS = dict(zip("abcdefgh", ("a", "bee", "cee", "dee", "ee", "eff", "gee", "aitch"), strict=True))
GOING = ("goes to", "comes to", "moves over to", "slides across to", "drops back to", "lands on", "to", "can hop to")
TAKING = ("takes", "grabs", "captures", "picks up", "now simply eats")
KNIGHTS = ("knight", "night", "nite")


@st.composite
def told(draw: st.DrawFn) -> tuple[chess.Board, chess.Move, str]:
    """Draw a legal move and words that tell it, with the square it goes to or the man it takes."""
    board, move = draw(moves())
    if board.is_castling(move):
        short = chess.square_file(move.to_square) > chess.square_file(move.from_square)
        sides = ("short", "kingside", "on the short side") if short else ("long", "queenside", "on the long side")
        who = ("white" if board.turn else "black", "the king", "")
        return board, move, f"{draw(st.sampled_from(who))} castles {draw(st.sampled_from(sides))}"
    kind = chess.piece_name(board.piece_type_at(move.from_square) or 0)
    man = draw(st.sampled_from(KNIGHTS)) if kind == "knight" else kind
    place = f" {draw(st.sampled_from(('on', 'from')))} {square(draw, move.from_square)}" if draw(st.booleans()) else ""
    words = f"{draw(st.sampled_from(('the', 'his', 'our')))} {man}{place} "
    if board.is_capture(move) and not board.is_en_passant(move) and draw(st.booleans()):
        victim = chess.piece_name(board.piece_type_at(move.to_square) or 0)
        words += f"{draw(st.sampled_from(TAKING))} the {victim} on {square(draw, move.to_square)}"
    else:
        words += f"{draw(st.sampled_from(GOING))} {square(draw, move.to_square)}"
    if move.promotion:
        become = draw(st.sampled_from(("and becomes a", "promotes to a", "and promotes to a")))
        words += f" {become} {chess.piece_name(move.promotion)}"
    return board, move, words


def square(draw: st.DrawFn, where: chess.Square) -> str:
    name = chess.square_name(where)
    file, rank = name
    number = NUMBERS[int(rank) - 1]
    spoken = (name, f"{file} {rank}", f"{file.upper()} {rank}", f"{file} {number}", f"{LETTERS[file]} {number}")
    return draw(st.sampled_from(spoken))


def read(words: str) -> MovePhrase:
    turns = [s for s in statements(words, [Span(0, len(words))])[0] if isinstance(s, Turn)]
    (turn,) = turns
    (phrase,) = turn.choices
    return phrase


@given(told())
def test_the_words_mean_the_move_and_none_of_another_man(case: tuple[chess.Board, chess.Move, str]) -> None:
    board, move, words = case
    phrase = read(words)
    meant = meant_moves(board, phrase)
    assert move in meant
    assert {board.piece_type_at(each.from_square) for each in meant} == {board.piece_type_at(move.from_square)}
    assert phrase.span == (len(words) - len(words.lstrip()), len(words))


@pytest.mark.parametrize("where", chess.SQUARES)
def test_squares_as_they_are_spoken(where: chess.Square) -> None:
    file, rank = chess.square_name(where)
    number = NUMBERS[int(rank) - 1]
    spelt = f"{LETTERS[file]} {number}"
    for words in (f"{file}{rank}", f"{file} {rank}", f"{file.upper()}{rank}", f"{file}-{number}", spelt):
        assert square_of(words) == where
    assert rank_of(f"the {ORDINALS[int(rank) - 1]} rank") == int(rank) - 1


@pytest.mark.parametrize("words", ["a two move problem", "a four", "k nine", "h nine", "the night was long"])
def test_what_is_no_move(words: str) -> None:
    found = statements(words, [Span(0, len(words))])[0]
    assert [s for s in found if isinstance(s, Turn)] == []


# The outside text: the language reference of Python, which pydoc ships for its help on topics.
PARAGRAPHS = [part for topic in topics.values() for part in topic.split("\n\n") if len(part) > 80]


@given(st.lists(st.sampled_from(PARAGRAPHS), min_size=1, max_size=3))
@example(["The night takes the town. It goes on until check-in, and that is check for the mates."])
def test_prose_without_chess_is_never_called_false(prose: list[str]) -> None:
    solution = "1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#"
    text = f"FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1\nMate in two.\n{solution}\n\n" + "\n\n".join(prose) + "\n"
    result = check_text("talk.txt", text, Options())
    assert result.error is None
    assert [found for found in result.findings if found.finding.level is Level.error] == []


@pytest.mark.parametrize(
    ("words", "kinds"),
    [
        ("the pawn becomes a queen or a rook on e8", [chess.QUEEN, chess.ROOK]),
        ("the pawn moves to e8 and becomes a queen, a rook or a knight", [chess.QUEEN, chess.ROOK, chess.KNIGHT]),
        ("the pawn takes the rook on e8 and becomes a bishop, or a knight", [chess.BISHOP, chess.KNIGHT]),
        ("the pawn becomes a queen on e8", [chess.QUEEN]),
    ],
)
def test_all_that_a_pawn_may_become(words: str, kinds: list[chess.PieceType]) -> None:
    (turn,) = (each for each in statements(words, [Span(0, len(words))])[0] if isinstance(each, Turn))
    assert [phrase.promotion for phrase in turn.choices] == kinds
    assert {(phrase.piece, phrase.destination) for phrase in turn.choices} == {(chess.PAWN, chess.E8)}


def test_a_man_behind_a_promotion_that_makes_a_move_of_its_own() -> None:
    words = "the pawn becomes a queen or a rook takes on e8"
    turns = [each for each in statements(words, [Span(0, len(words))])[0] if isinstance(each, Turn)]
    assert [phrase.promotion for turn in turns for phrase in turn.choices] == [chess.QUEEN, None]
