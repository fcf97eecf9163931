"""The kernel's attack sets and legal moves against slower sources that share no code with it."""

import json
import random
from collections.abc import Iterator
from pathlib import Path

import chess
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from keyproof.rules.proof import native
from proof_boards import crowded, drawn, game, lost_king, sparse

kernel = pytest.importorskip("keyproof.rules.proof.kernel._search", reason="the kernel was not built here")

DATA = Path(__file__).parent.parent / "data"
CORES = (False, True)  # the core for this processor, and the portable one
KINDS = {chess.KNIGHT: 1, chess.BISHOP: 2, chess.ROOK: 3, chess.QUEEN: 4, chess.KING: 5}
STRAIGHT = ((1, 0), (-1, 0), (0, 1), (0, -1))
DIAGONAL = ((1, 1), (1, -1), (-1, 1), (-1, -1))

# Node counts at depths 1, 2, ... as published on the page "Perft Results" (start array) and identical in two
# independent sets of test files (positions 2 to 6).
PERFT = {
    "rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1": (20, 400, 8902, 197281, 4865609),
    "r3k2r/p1ppqpb1/bn2pnp1/3PN3/1p2P3/2N2Q1p/PPPBBPPP/R3K2R w KQkq - 0 1": (48, 2039, 97862, 4085603, 193690690),
    "8/2p5/3p4/KP5r/1R3p1k/8/4P1P1/8 w - - 0 1": (14, 191, 2812, 43238, 674624),
    "r3k2r/Pppp1ppp/1b3nbN/nP6/BBP1P3/q4N2/Pp1P2PP/R2Q1RK1 w kq - 0 1": (6, 264, 9467, 422333, 15833292),
    "r2q1rk1/pP1p2pp/Q4n2/bbp1p3/Np6/1B3NBn/pPPP1PPP/R3K2R b KQ - 0 1": (6, 264, 9467, 422333, 15833292),
    "rnbq1k1r/pp1Pbppp/2p5/8/2B5/8/PPP1NnPP/RNBQK2R w KQ - 1 8": (44, 1486, 62379, 2103487, 89941194),
    "r4rk1/1pp1qppp/p1np1n2/2b1p1B1/2B1P1b1/P1NP1N2/1PP1QPPP/R4RK1 w - - 0 10": (46, 2079, 89890, 3894594, 164075551),
    # one test file of edge cases, the last depth it gives
    "4k3/8/8/8/8/8/8/4K2R w K - 0 1": (0, 0, 0, 0, 0, 764643),
    "4k3/8/8/8/8/8/8/R3K3 w Q - 0 1": (0, 0, 0, 0, 0, 846648),
    "r3k3/8/8/8/8/8/8/4K3 w q - 0 1": (0, 0, 0, 0, 52710),
    "7k/8/8/3p4/8/8/3P4/K7 w - - 0 1": (0, 0, 0, 0, 0, 30980),
    "K7/b7/1b6/1b6/8/8/8/k6B b - - 0 1": (0, 0, 0, 0, 787524),
}
EDGE_CASES = [json.loads(line) for line in (DATA / "perft.jsonl").read_text().splitlines()]


def walk(square: int, steps: tuple[tuple[int, int], ...], occupied: int) -> int:
    """Step along each line until the edge of the board or a man (Laws 3.2 to 3.5)."""
    reached = 0
    for file_step, rank_step in steps:
        file, rank = square % 8 + file_step, square // 8 + rank_step
        while 0 <= file < 8 and 0 <= rank < 8:
            reached |= 1 << (8 * rank + file)
            if occupied >> (8 * rank + file) & 1:
                break
            file, rank = file + file_step, rank + rank_step
    return reached


def inner_line(square: int, steps: tuple[tuple[int, int], ...]) -> int:
    """The squares whose men can shorten a line: those with another square of the line behind them."""
    inner = 0
    for step in steps:
        line = list(chess.SquareSet(walk(square, (step,), 0)))
        line.sort(key=lambda reached: chess.square_distance(square, reached))
        inner |= sum(1 << reached for reached in line[:-1])
    return inner


def subsets(squares: int) -> Iterator[int]:
    subset = 0
    while True:
        yield subset
        subset = (subset - squares) & squares
        if not subset:
            return


@pytest.mark.parametrize(("kind", "steps"), [(chess.ROOK, STRAIGHT), (chess.BISHOP, DIAGONAL)])
def test_every_line_with_every_set_of_blockers(kind: int, steps: tuple[tuple[int, int], ...]) -> None:
    cases = 0
    for square in chess.SQUARES:
        for blockers in subsets(inner_line(square, steps)):
            expected = walk(square, steps, blockers)
            for portable in CORES:
                assert kernel.attacks(KINDS[kind], square, blockers, portable) == expected
            cases += 1
    assert cases == {chess.ROOK: 102_400, chess.BISHOP: 5_248}[kind]  # sum of 2 ** inner squares, by hand


@given(st.integers(0, 63), st.integers(0, 2**64 - 1))
def test_queens_among_any_men(square: int, occupied: int) -> None:
    for portable in CORES:
        assert kernel.attacks(KINDS[chess.QUEEN], square, occupied, portable) == walk(
            square, STRAIGHT + DIAGONAL, occupied
        )


@pytest.mark.parametrize("square", chess.SQUARES)
def test_leapers(square: int) -> None:
    def at(distances: set[tuple[int, int]]) -> int:
        return sum(
            1 << to for to in chess.SQUARES if (abs(square % 8 - to % 8), abs(square // 8 - to // 8)) in distances
        )

    for portable in CORES:
        assert kernel.attacks(KINDS[chess.KNIGHT], square, 0, portable) == at({(1, 2), (2, 1)})  # Laws 3.6
        assert kernel.attacks(KINDS[chess.KING], square, 0, portable) == at({(0, 1), (1, 0), (1, 1)})  # Laws 3.8.1


@pytest.mark.parametrize("portable", CORES)
@pytest.mark.parametrize("fen", PERFT)
def test_perft(fen: str, portable: bool) -> None:
    position = native.position_of(chess.Board(fen))
    for depth, nodes in enumerate(PERFT[fen], start=1):
        if nodes:
            assert kernel.perft(position, depth, portable) == nodes


@pytest.mark.parametrize("case", EDGE_CASES, ids=[case["id"] for case in EDGE_CASES])
def test_perft_of_edge_cases(case: dict[str, str | int]) -> None:
    assert kernel.perft(native.position_of(chess.Board(str(case["fen"]))), case["depth"]) == case["nodes"]


def listed(board: chess.Board, portable: bool = False) -> list[str]:
    moves, check = kernel.moves(native.position_of(board), portable)
    assert check == board.is_check()
    words = memoryview(moves).cast("H")
    return sorted(native.move_of(word).uci() for word in words)


@settings(max_examples=1000)
@given(drawn(game, crowded, sparse, lost_king))
def test_legal_moves_are_those_of_the_library(board: chess.Board) -> None:
    expected = sorted(move.uci() for move in board.legal_moves)
    for portable in CORES:
        assert listed(board, portable) == expected


def test_legal_moves_along_random_games() -> None:
    rng = random.Random(1)
    positions = 0
    while positions < 4000:
        board = chess.Board()
        while moves := sorted(board.legal_moves, key=chess.Move.uci):
            assert listed(board) == [move.uci() for move in moves], board.fen()
            positions += 1
            if board.fullmove_number > 100:
                break
            board.push(rng.choice(moves))


@pytest.mark.parametrize(
    "fen",
    [
        "3r4/8/1n3n2/8/3K4/5b2/8/k2q2b1 w - - 0 1",  # six men give check at once
        "QQQQQQQQ/QQQQQQQQ/8/8/8/8/6k1/K7 b - - 0 1",
        "kb6/pp6/2QQ2QQ/2Q2Q2/2Q3QQ/Q1QQQ3/1Q1Q1Q2/4QKQ1 w - - 0 1",
        "4k3/8/8/8/3pP3/8/8/3QK3 b - e3 0 1",
        "8/8/8/8/k2pP2Q/8/8/3K4 b - e3 0 1",  # both pawns leave the fourth rank at once
        "8/8/8/2k5/3pP3/8/1B6/4K3 b - e3 0 1",
        "8/8/8/8/1k1Pp2R/8/8/4K3 b - d3 0 1",
        "3k4/8/8/K1pP3r/8/8/8/8 w - c6 0 1",
    ],
)
def test_legal_moves_of_odd_positions(fen: str) -> None:
    board = chess.Board(fen)
    for portable in CORES:
        assert listed(board, portable) == sorted(move.uci() for move in board.legal_moves)


@pytest.mark.parametrize(
    "position",
    [
        native.position_of(chess.Board(None)),  # no kings
        native.position_of(chess.Board("4k3/8/8/8/8/8/8/4KR1P w - - 0 1")),  # a pawn on the first rank
        native.position_of(chess.Board("4k3/4R3/8/8/8/8/8/4K3 w - - 0 1")),  # the king could be captured
        native.position_of(chess.Board("4k3/8/8/8/8/8/8/4K3 w - e6 0 1")),  # no pawn has passed e6
        (0, 0, 0, 0, 0, 1 | 1 << 63, 1, 1 << 63, 0, 1, 0),  # castling from a1
    ],
)
def test_positions_that_cannot_be_played_are_refused(position: native.Position) -> None:
    with pytest.raises(ValueError, match="not a position that can be played from"):
        kernel.moves(position)
