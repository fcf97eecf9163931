"""How fast the proof kernel is, and that it stays right over a million positions.

Run it from the root of the checkout: `python tests/bench/prove_speed.py`; it takes about ten minutes on one
processor and prints Markdown tables. With `--quick` the plain prover's three-movers and the longest
random positions are left out. The move generator is compared with `chessmg` (PyPI, 0.6.0) where that is
installed. Every figure is the best of several runs, but for long ones, and leaves out the time that other
processes had the processor.

"All" about a problem: every key, every refutation of every other first move, threats, every defence with all
its answers and their lengths, set play.
"""

import json
import math
import random
import statistics
import sys
import time
from collections.abc import Callable, Iterable
from functools import partial
from pathlib import Path
from typing import Any

import chess
from keyproof.rules.board.stipulation import Genre
from keyproof.rules.proof import native
from keyproof.rules.proof.limits import Limits, Meter
from keyproof.rules.proof.plain import Attack
from keyproof.rules.proof.prover import MOST_SOLUTIONS

NO_LIMIT = Limits(10**15)
DATA = Path(__file__).parent.parent / "data"
QUICK = "--quick" in sys.argv[1:]
MEN = "QRRBBNNPPPPPPPPqrrbbnnpppppppp"  # of the start array, without the kings

PERFT = {  # the page "Perft Results"
    "start array, depth 6": ("rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1", 6, 119060324),
    "position 2, depth 5": ("r3k2r/p1ppqpb1/bn2pnp1/3PN3/1p2P3/2N2Q1p/PPPBBPPP/R3K2R w KQkq - 0 1", 5, 193690690),
    "position 3, depth 6": ("8/2p5/3p4/KP5r/1R3p1k/8/4P1P1/8 w - - 0 1", 6, 11030083),
    "position 4, depth 5": ("r3k2r/Pppp1ppp/1b3nbN/nP6/BBP1P3/q4N2/Pp1P2PP/R2Q1RK1 w kq - 0 1", 5, 15833292),
    "position 5, depth 5": ("rnbq1k1r/pp1Pbppp/2p5/8/2B5/8/PPP1NnPP/RNBQK2R w KQ - 1 8", 5, 89941194),
    "position 6, depth 5": ("r4rk1/1pp1qppp/p1np1n2/2b1p1B1/2B1P1b1/P1NP1N2/1PP1QPPP/R4RK1 w - - 0 10", 5, 164075551),
}


def kernel() -> Any:
    if native.kernel is None:
        sys.exit("the kernel was not built here: there is nothing to measure")
    return native.kernel


def table(title: str, head: Iterable[str], rows: Iterable[Iterable[str]]) -> None:
    head = list(head)
    print(f"\n### {title}\n\n| {' | '.join(head)} |\n|{' --- |' * len(head)}")
    for row in rows:
        print(f"| {' | '.join(row)} |", flush=True)


def best(work: Callable[[], object]) -> float:
    """Seconds of the fastest of three runs."""
    times = []
    for _ in range(3):
        began = time.thread_time()
        work()
        times.append(time.thread_time() - began)
    return min(times)


def seconds_of(search: Callable[[], tuple[object, native.Found]]) -> float:
    """Seconds a search took by the kernel's clock, or of the processor, if others had it meanwhile."""
    began = time.thread_time()
    found = search()[1]
    return max(min(found.seconds, time.thread_time() - began), 1e-6)


def proof_seconds(board: chess.Board, n: int) -> float:
    """Seconds in the kernel for all about a problem."""
    fastest, spent = math.inf, 0.0
    while spent < 0.03:
        seconds = seconds_of(partial(native.prove, board, "#", n, NO_LIMIT))
        fastest, spent = min(fastest, seconds), spent + max(seconds, 0.001)
    return fastest


def ms(seconds: float) -> str:
    return f"{seconds * 1000:,.3g}" if seconds < 1 else f"{seconds * 1000:,.0f}"


def middle(values: list[float]) -> float:
    return math.exp(statistics.fmean(map(math.log, values)))


def published(moves: int) -> list[chess.Board]:
    rows = [json.loads(line) for line in (DATA / "published.jsonl").read_text().splitlines()]
    return [chess.Board(row["fen"]) for row in rows if row["stipulation"] == f"#{moves}"]


def random_board(chance: random.Random, men: int) -> chess.Board:
    """A legal position of so many men of the start array anywhere on the board, White to move."""
    while True:
        board = chess.Board(None)
        squares = chance.sample(chess.SQUARES, men)
        for square, symbol in zip(squares, ["K", "k", *chance.sample(MEN, men - 2)], strict=True):
            board.set_piece_at(square, chess.Piece.from_symbol(symbol))
        if board.is_valid():
            return board


def perft_rows() -> Iterable[list[str]]:
    search = kernel()
    try:
        import chessmg
    except ImportError:
        chessmg = None
    ratios = []
    for name, (fen, depth, nodes) in PERFT.items():
        board = chess.Board(fen)
        position = native.position_of(board)
        rates = []
        for portable in (False, True):
            assert search.perft(position, depth, portable) == nodes
            rates.append(nodes / best(partial(search.perft, position, depth, portable)) / 1e6)
        other = math.nan
        if chessmg is not None:
            assert chessmg.ChessPosition(fen).perft(depth) == nodes
            other = nodes / best(partial(chessmg.ChessPosition(fen).perft, depth)) / 1e6
            ratios.append(rates[0] / other)
        yield [name, f"{rates[0]:,.0f}", f"{rates[1]:,.0f}", f"{other:,.0f}", f"{rates[0] / other:.1f}"]
    if ratios:
        yield ["geometric mean", "", "", "", f"{middle(ratios):.1f}"]


def plain_rows() -> Iterable[list[str]]:
    for moves, least, most in ((2, 2, 32), (3, 10, 16)):
        if QUICK and moves > 2:
            continue
        ratios, slow_total, fast_total = [], 0.0, 0.0
        for board in published(moves):
            if not least <= len(board.piece_map()) <= most:
                continue
            fast = proof_seconds(board, moves)
            began = time.thread_time()  # without what other processes took meanwhile
            said = Attack(board, "#", Meter(NO_LIMIT)).prove(moves)
            slow = time.thread_time() - began
            assert said == native.prove(board, "#", moves, NO_LIMIT)[0]
            ratios.append(slow / fast)
            slow_total, fast_total = slow_total + slow, fast_total + fast
        men = f"{least} to {most} men" if least > 2 else "all"
        yield [
            f"#{moves}, {men}",
            str(len(ratios)),
            f"{slow_total:.1f}",
            ms(fast_total),
            f"{min(ratios):,.0f}",
            f"{statistics.median(ratios):,.0f}",
            f"{max(ratios):,.0f}",
        ]


def published_rows() -> Iterable[list[str]]:
    for moves in range(2, 7):
        times = [proof_seconds(board, moves) for board in published(moves)]
        yield [f"#{moves}", str(len(times)), ms(min(times)), ms(statistics.median(times)), ms(max(times))]


def growth_rows() -> Iterable[list[str]]:
    for men in (6, 10, 16):
        for moves, number in ((2, 40), (3, 40), (4, 30), (5, 10), (6, 4)):
            if (moves == 6 and men == 16) or (QUICK and moves > 4):
                continue
            chance = random.Random(100 * men + moves)
            times = [proof_seconds(random_board(chance, men), moves) for _ in range(number)]
            yield [str(men), f"#{moves}", str(number), ms(middle(times)), ms(statistics.median(times)), ms(max(times))]


def longest_row() -> Iterable[list[str]]:
    """Six moves among sixteen men, each position within one budget: one of them may be out of reach."""
    times, ended = [], 0
    chance = random.Random(1606)
    for _ in range(0 if QUICK else 4):
        board = random_board(chance, 16)
        began = time.thread_time()
        ended += native.prove(board, "#", 6, Limits(1_000_000_000))[1].ended
        times.append(time.thread_time() - began)
    if times:
        yield ["4", str(ended), ms(middle(times)), ms(max(times))]


def other_rows() -> Iterable[list[str]]:
    kinds: list[tuple[Genre, int, int, int]] = [
        ("h#", 2, 10, 20), ("h#", 3, 7, 20), ("h#", 3, 10, 20), ("h#", 4, 5, 6), ("h#", 4, 7, 6),
        ("s#", 2, 10, 20), ("s#", 3, 10, 10), ("r#", 2, 10, 20), ("=", 2, 10, 20),
    ]  # fmt: skip
    for genre, moves, men, number in kinds:
        chance = random.Random(moves * 100 + men)
        times, soon = [], []
        for _ in range(number):
            board = random_board(chance, men)
            if genre == "h#":
                board.turn = chess.BLACK
                if not board.is_valid():
                    continue
                times.append(seconds_of(partial(native.help_lines, board, genre, 2 * moves, NO_LIMIT, 10**6)))
                soon.append(
                    seconds_of(partial(native.help_lines, board, genre, 2 * moves, NO_LIMIT, MOST_SOLUTIONS + 1))
                )
            else:
                times.append(seconds_of(partial(native.prove, board, genre, moves, NO_LIMIT)))
        most_soon = ms(max(soon)) if soon else ""
        yield [f"{genre}{moves}", str(men), str(len(times)), ms(middle(times)), ms(max(times)), most_soon]


def compare_moves(positions: int) -> tuple[int, float]:
    """Compare the list of legal moves with python-chess's along random games; return positions and seconds."""
    search, chance, done = kernel(), random.Random(2), 0
    began = time.perf_counter()
    while done < positions:
        board = chess.Board() if done % 2 else random_board(chance, chance.randint(3, 30))
        for _ in range(120):
            moves = list(board.legal_moves)
            position = native.position_of(board)
            expected = sorted(
                move.from_square | move.to_square << 6 | ((move.promotion or 1) - 1) << 12 for move in moves
            )
            for portable in (False, True):
                assert sorted(memoryview(search.moves(position, portable)[0]).cast("H")) == expected, board.fen()
            done += 1
            if not moves:
                break
            board.push(chance.choice(moves))
    return done, time.perf_counter() - began


def main() -> None:
    table(
        f"Move generator: perft with bulk counting, million lines a second ({kernel().core} core)",
        ["position", "kernel", "portable core", "chessmg 0.6.0", "ratio"],
        perft_rows(),
    )
    table(
        "Kernel against the plain prover: all about the same published problems",
        ["problems", "number", "plain, s", "kernel, ms", "ratio: least", "median", "most"],
        plain_rows(),
    )
    table(
        "Published problems: all, ms in the kernel", ["length", "number", "least", "median", "most"], published_rows()
    )
    table(
        "Growth: all about random positions, ms in the kernel",
        ["men", "length", "number", "geometric mean", "median", "most"],
        growth_rows(),
    )
    table(
        "Six moves among 16 men, a billion positions at most, ms",
        ["number", "unproved", "geometric mean", "most"],
        longest_row(),
    )
    table(
        "Other genres: all about random positions, ms in the kernel",
        ["genre", "men", "number", "geometric mean", "most", f"most, ended by {MOST_SOLUTIONS + 1:,} lines"],
        other_rows(),
    )
    done, seconds = compare_moves(100_000 if QUICK else 1_000_000)
    print(f"\nLegal moves of {done:,} positions equal python-chess's, both cores ({seconds:.0f} s).")


if __name__ == "__main__":
    main()
