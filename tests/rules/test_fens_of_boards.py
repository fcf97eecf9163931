"""A FEN is written as python-chess writes it."""

from random import Random

import chess
import pytest
from keyproof.rules.board.fens import fen_of, placement


@pytest.mark.parametrize("seed", range(20))
def test_positions_of_random_games_are_written_alike(seed: int) -> None:
    random, board = Random(seed), chess.Board()
    for _ in range(60):
        assert placement(board) == board.board_fen()
        assert fen_of(board) == board.fen()
        assert fen_of(board, "fen") == board.fen(en_passant="fen")
        moves = list(board.legal_moves)
        if not moves:
            break
        board.push(random.choice(moves))


@pytest.mark.parametrize(
    "fen", ["8/8/8/8/8/8/8/8 w - - 0 1", "k7/8/8/3pP3/8/8/8/7K w - d6 0 2", "kq6/8/8/8/8/8/8/7K b - - 5 9"]
)
def test_few_men_are_written_alike(fen: str) -> None:
    board = chess.Board(fen)
    assert fen_of(board) == board.fen() == fen
