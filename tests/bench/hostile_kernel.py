"""Hostile questions to the kernel: `.ci/sanitize .venv/bin tests/bench/hostile_kernel.py NUMBER [SEED]`, from the root.

Run so, the kernel is one built under AddressSanitizer and UBSan, which end the process at the first fault; without
`.ci/sanitize` only a crash would tell. Positions are senseless integers, boards crowded with any men, rights and en
passant squares, and such boards with bits flipped; genres, tasks and lengths run past their ends on both sides. What
the kernel refuses must be a ValueError.
"""

import random
import sys
from collections import Counter
from contextlib import suppress
from functools import partial, reduce

import chess
from keyproof.rules.proof import native

GENRES = ("#", "=", "s#", "r#", "h#", "h=")
TASKS = ("prove", "lengths", "replies", "shortest", "lines")
Position = tuple[int, ...]


def senseless(chance: random.Random) -> Position:
    """Draw sets that are no position but by accident."""
    sets = [chance.getrandbits(64) & chance.getrandbits(64) for _ in range(8)]
    return *sets, chance.randrange(-2, 3), chance.randrange(-1, 18), chance.randrange(-70, 70)


def crowded(chance: random.Random) -> Position:
    """Draw a king each and up to 62 other men anywhere; rights and passed squares often stand for nothing."""
    for _ in range(20):  # mostly the side not to move is in check: again
        board = chess.Board(
            "r3k2r/8/8/8/8/8/8/R3K2R w - - 0 1" if chance.random() < 0.3 else "8/8/8/8/8/8/8/8 w - - 0 1"
        )
        free = list(chess.SquareSet(~board.occupied))
        squares = chance.sample(free, min(len(free), chance.choice([chance.randrange(2, 12), chance.randrange(2, 63)])))
        symbols = chance.choice(["QRBNPqrbnp", "Q", "QRq", "Pp", "Bbr", "RNrp"])
        kings = ["K", "k"] if not board.kings else []
        for square, symbol in zip(squares, [*kings, *chance.choices(symbols, k=62)], strict=False):
            edge = chess.square_rank(square) in (0, 7)
            board.set_piece_at(square, chess.Piece.from_symbol(symbol if not edge or symbol not in "Pp" else "N"))
        board.turn = chance.random() < 0.5
        if not board.was_into_check():
            break
    *sets, turn, _, _ = native.position_of(board)
    standing = reduce(int.__or__, (1 << at for at, home in enumerate((7, 0, 63, 56)) if board.rooks >> home & 1), 0)
    pawns = board.pieces_mask(chess.PAWN, not board.turn)
    behind = pawns >> 8 & chess.BB_RANK_3 if board.turn == chess.BLACK else pawns << 8 & chess.BB_RANK_6
    passed = chance.choice([0, *chess.SquareSet(behind & ~board.occupied)])
    if chance.random() < 0.1:
        return *sets, turn, chance.randrange(16), chance.randrange(64)
    return *sets, turn, standing if board.kings & chess.BB_E1 and board.kings & chess.BB_E8 else 0, passed


def flipped(chance: random.Random) -> Position:
    """Draw a crowded board with a few bits of its sets changed."""
    position = list(crowded(chance))
    for _ in range(chance.randrange(1, 4)):
        position[chance.randrange(8)] ^= 1 << chance.randrange(64)
    return tuple(position)


def asked(chance: random.Random, position: Position) -> str:
    """Ask the kernel one question; return what it was, or that it was refused."""
    kernel = native.kernel
    assert kernel is not None
    genre, task = chance.randrange(-1, 7), chance.randrange(-1, 6)
    if chance.random() < 0.7:  # one that goes together
        task = chance.randrange(5)
        genre = chance.choice((4, 5)) if task == 4 else chance.randrange(4)
    n = chance.choice([1, 1, 2, 2, 3, 3, 4, 5, 6, 9, 50, 51, 101, 102, 0, -1])
    effort, lines = chance.choice([0, 1, 100, 3_000, 20_000]), chance.choice([0, 1, 1_000])
    portable = chance.random() < 0.5
    calls = {
        "moves": partial(kernel.moves, position, portable),
        "perft": partial(kernel.perft, position, chance.randrange(-1, 3) if effort else 1, portable),
        "attacks": partial(kernel.attacks, chance.randrange(7), chance.randrange(-1, 65), position[6], portable),
        "search": partial(kernel.search, position, genre, task, n, effort, 1e9, lines, None, portable),
    }
    answered = set()
    for name, call in calls.items():
        with suppress(ValueError):
            call()
            answered.add(name)
    if "search" in answered:
        return f"{TASKS[task]} {GENRES[genre]}"
    return "moves only: no such search" if "moves" in answered else "refused as a position"


def main(number: int, seed: int) -> None:
    """Ask so many questions, and print how many of each kind were answered."""
    chance = random.Random(seed)
    answered: Counter[str] = Counter()
    for _ in range(number):
        answered[asked(chance, chance.choice((senseless, crowded, crowded, flipped))(chance))] += 1
    print(f"{number:,} questions from seed {seed}\n\n| question | answered |\n|---|---|")
    for kind, count in sorted(answered.items()):
        print(f"| {kind} | {count:,} |")


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else random.randrange(10**9))
