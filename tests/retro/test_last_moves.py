"""Taking back the last move, compared with play itself: python-chess plays every move forward again."""

import random

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st
from keyproof.rules.retro.moves import LastMove, before, retractions
from keyproof.rules.retro.past import contradiction, last_moves
from strategies import KINDS, few_men, game, positions


def forward(board: chess.Board, last: LastMove) -> chess.Board:
    """Play `last` in the position before it, with the rights it needs, by python-chess alone."""
    earlier = before(board, last)
    if last.en_passant:
        earlier.ep_square = last.target
    if last.castling:
        rank = 0 if last.colour == chess.WHITE else 7
        earlier.castling_rights = chess.BB_SQUARES[chess.square(7 if last.target > last.origin else 0, rank)]
    move = chess.Move(last.origin, last.target, last.promotion)
    assert earlier.is_legal(move), f"{earlier.fen()} {last}"
    earlier.push(move)
    return earlier


@given(positions())
def test_every_last_move_found_can_be_played_and_leads_here(board: chess.Board) -> None:
    for last in last_moves(board).moves[:40]:
        assert forward(board, last).board_fen() == board.board_fen()


@given(st.integers(0, 2**32 - 1), st.integers(0, 12), st.sampled_from(sorted(KINDS)))
def test_the_move_that_was_played_is_among_the_last_moves(seed: int, size: int, kind: str) -> None:
    chance = random.Random(seed)
    source = chance.choice((game, few_men))
    board = source(chance, size)
    moves = [move for move in board.legal_moves if KINDS[kind](board, move)] or list(board.legal_moves)
    if not moves or contradiction(board) is not None:
        return  # a move in a position that cannot come about is rightly not found
    move = chance.choice(moves)
    played = LastMove(
        board.turn,
        board.piece_type_at(move.from_square) or chess.PAWN,
        move.from_square,
        move.to_square,
        chess.PAWN if board.is_en_passant(move) else board.piece_type_at(move.to_square),
        move.promotion,
        board.is_en_passant(move),
        board.is_castling(move),
    )
    board.push(move)
    assert played in last_moves(board).moves


@given(positions(sources=(game,)))
def test_a_double_step_that_was_played_is_found_whatever_is_proved(board: chess.Board) -> None:
    if board.move_stack and board.has_legal_en_passant():
        step = board.peek()
        found = [last for last in last_moves(board).moves if last.double_step]
        assert (step.from_square, step.to_square) in [(last.origin, last.target) for last in found]


def steps(fen: str) -> list[str]:
    """Return the last moves by the men alone."""
    return sorted(str(last) for last in retractions(chess.Board(fen)))


@pytest.mark.parametrize(
    ("fen", "expected"),
    [
        # A pawn on its first rank has no last move (Laws 3.7.1 and 3.7.2: it moves forward only).
        ("7k/8/8/8/8/8/P7/K7 b - - 0 1", {"Kb1-a1", "Kb2-a1"}),
        # One step, two steps, or a capture from either side (Laws 3.7.1 to 3.7.3).
        ("7k/8/8/8/1P6/8/8/K7 b - - 0 1", {"b3-b4", "b2-b4", "a3xNb4", "c3xNb4"}),
        # A piece on the eighth rank may be a pawn that has just been promoted (3.7.3.3).
        ("1N5k/8/8/8/8/8/8/K7 b - - 0 1", {"b7-b8=N", "a7xRb8=N", "Na6-b8"}),
        # En passant: the pawn taken stood beside, and its double step came from the seventh rank (3.7.3.1).
        ("7k/8/3P4/8/8/8/8/K7 b - - 0 1", {"e5xd6 e.p.", "c5xd6 e.p.", "d5-d6", "e5xPd6"}),
        # Castling: king and rook go back home together (3.8.2).
        ("7k/8/8/8/8/8/8/5RK1 b - - 0 1", {"0-0", "Kh1-g1", "Rf2-f1"}),
        ("7k/8/8/8/8/8/8/2KR4 b - - 0 1", {"0-0-0"}),
    ],
)
def test_what_can_be_taken_back(fen: str, expected: set[str]) -> None:
    assert expected <= set(steps(fen))


@pytest.mark.parametrize(
    ("fen", "never"),
    [
        ("7k/8/8/8/8/8/P7/K7 b - - 0 1", "a1-a2"),  # no pawn stands on its side's first rank (3.7)
        ("7k/8/8/8/P7/8/P7/K7 b - - 0 1", "a2-a4"),  # the square of departure is taken
        ("7k/3n4/3P4/8/8/8/8/K7 b - - 0 1", "e5xd6 e.p."),  # a double step cannot have begun on a taken square
        ("7k/8/8/8/8/8/8/1N3RK1 b - - 0 1", "0-0-0"),
        ("7k/8/8/8/8/8/8/4R1K1 b - - 0 1", "0-0"),
    ],
)
def test_what_cannot_be_taken_back(fen: str, never: str) -> None:
    assert never not in steps(fen)


def test_castling_is_not_taken_back_across_an_attacked_square() -> None:
    """FIDE Laws 3.8.2.2: the king does not cross an attacked square."""
    safe = chess.Board("1k1r4/8/8/8/8/8/8/5RK1 b - - 0 1")
    crossed = chess.Board("1k3r2/8/8/8/8/8/8/5RK1 b - - 0 1")
    out_of_check = chess.Board("1k2r3/8/8/8/8/8/8/5RK1 b - - 0 1")
    assert any(last.castling for last in last_moves(safe).moves)
    assert not any(last.castling for last in last_moves(crossed).moves)
    assert not any(last.castling for last in last_moves(out_of_check).moves)


def test_a_budget_that_is_spent_says_so() -> None:
    found = last_moves(chess.Board("8/8/8/3pP3/8/8/8/K6k w - - 0 1"), most=3)
    assert not found.complete
    assert last_moves(chess.Board("8/8/8/3pP3/8/8/8/K6k w - - 0 1")).complete
