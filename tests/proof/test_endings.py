"""Lengths of forced mates against published maxima and the distance tables of another author."""

import random
from pathlib import Path

import chess
import chess.gaviota
import pytest
from keyproof.rules.proof.prover import backend, mating_moves, refutations, shortest_mate
from source_package import data

__all__ = ["data"]  # the fixture

pytestmark = pytest.mark.skipif(backend() == "plain", reason="takes the plain prover hours")


# Thread "Longest Mate in kqk" (positions and lengths in White moves); the pawn ending also in an archive post of
# 1 June 2000 (56 plies); king and two bishops, 19, in the post "Re: K+Q vs. K" of 15 November 2000.
@pytest.mark.parametrize(
    ("fen", "moves"),
    [
        ("8/8/8/5k2/8/8/1Q6/K7 w - - 0 1", 10),
        pytest.param("8/8/8/8/8/2k5/1R6/K7 w - - 0 1", 16, marks=pytest.mark.slow),
        pytest.param("8/8/8/1k6/8/8/K5P1/8 w - - 0 1", 28, marks=pytest.mark.slow),
    ],
)
def test_published_maxima(fen: str, moves: int) -> None:
    found = shortest_mate(chess.Board(fen), moves + 1, effort=500)
    assert found.complete
    assert found.length == moves


def pawnless(chance: random.Random, men: str) -> chess.Board:
    """Put the men of an ending anywhere, White to move."""
    while True:
        board = chess.Board(None)
        for square, symbol in zip(chance.sample(chess.SQUARES, len(men)), men, strict=True):
            board.set_piece_at(square, chess.Piece.from_symbol(symbol))
        if board.is_valid():
            return board


@pytest.mark.network
@pytest.mark.parametrize("men", ["KQk", "KRk", "KPk"])
def test_lengths_are_those_of_the_distance_tables(data: Path, men: str) -> None:
    """The tables (by the author of Gaviota) count plies: mate within n moves if 0 < plies <= 2n - 1."""
    longest, chance, solved = 6, random.Random(men), 0
    with chess.gaviota.PythonTablebase() as table:
        table.add_directory(str(data / "gaviota"))
        for _ in range(60):
            board = pawnless(chance, men)
            expected = {}
            for move in board.legal_moves:
                board.push(move)
                plies = 1 - table.probe_dtm(board) if not board.is_checkmate() else 1
                if (plies > 1 or board.is_checkmate()) and not board.is_stalemate() and (plies + 1) // 2 <= longest:
                    expected[move] = (plies + 1) // 2
                board.pop()
            assert mating_moves(board, longest).lengths == expected, board.fen()
            solved += len(expected)
    assert solved


@pytest.mark.network
def test_replies_are_those_of_the_distance_tables(data: Path) -> None:
    chance = random.Random(3)
    with chess.gaviota.PythonTablebase() as table:
        table.add_directory(str(data / "gaviota"))
        for _ in range(60):
            board = pawnless(chance, "KQk")
            board.turn = chess.BLACK
            if not board.is_valid():
                continue
            holding = []
            for move in board.legal_moves:
                board.push(move)
                if not 0 < table.probe_dtm(board) <= 2 * 4 - 1:
                    holding.append(move)
                board.pop()
            assert set(refutations(board, 4).moves) == set(holding), board.fen()


@pytest.mark.network
@pytest.mark.slow
@pytest.mark.parametrize("name", ["endgame-dm-4.epd", "endgame-dm-5.epd"])
def test_solved_endings(data: Path, name: str) -> None:
    """Mates up to eight moves among endings of four and five men; `dm` counts moves (PGN, EPD part, from memory)."""
    solved = 0
    for line in (data / name).read_text().splitlines():
        if not line.strip() or line.startswith("#"):
            continue
        board, operations = chess.Board.from_epd(line)
        length = operations["dm"]
        if not isinstance(length, int) or not 0 < length <= 8:
            continue
        assert shortest_mate(board, length).length == length, line
        if length > 1:
            assert shortest_mate(board, length - 1).length is None, line
        solved += 1
    assert solved
