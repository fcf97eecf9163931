"""How much work proofs of #3 to #6 take, and where it goes: `python tests/bench/spent.py`, from the root.

It compiles spent.c, which holds the kernel and counts in it, with `cc` (or what CC names), proves all about the
published problems of tests/data and about random positions drawn as prove_speed.py draws them, and prints Markdown
tables. A position may take ten times the default effort of the command and no more, so the run is bounded in work;
the same positions take the same number on every machine.
"""

import math
import os
import random
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Iterable
from pathlib import Path

import chess
from keyproof.rules.proof import native
from keyproof.rules.proof.prover import DEFAULT_EFFORT
from msgspec import Struct
from prove_speed import published, random_board, table

USUAL = int(DEFAULT_EFFORT * 1_000_000)
MOST = 10 * USUAL
KERNEL = Path("rules/proof/kernel")
NUMBERS = {3: 200, 4: 100, 5: 40, 6: 12}
"""Random positions of each kind by moves."""


class Spent(Struct, frozen=True):
    """What one proof took: positions, nanoseconds, and what of the positions went where, as spent.c prints it."""

    positions: int
    nanoseconds: int
    ended: bool
    keys: int
    others: int
    refutations: int
    mates: int
    asked: int
    known: int


def built(folder: str) -> Path:
    """Compile spent.c."""
    program = Path(folder) / "spent"
    sources = [Path(__file__).with_suffix(".c"), KERNEL / "attacks.c"]
    subprocess.run([os.environ.get("CC", "cc"), "-O3", f"-I{KERNEL}", "-o", program, *sources], check=True)
    return program


def prove_all(program: Path, boards: Iterable[chess.Board], moves: int) -> list[Spent]:
    """Prove all about the positions."""
    lines = [" ".join(map(str, (*native.position_of(board), moves, MOST))) for board in boards]
    done = subprocess.run([program], input="\n".join(lines), capture_output=True, encoding="ascii", check=True)
    rows = [list(map(int, line.split())) for line in done.stdout.splitlines()]
    assert len(rows) == len(lines)
    return [Spent(row[0], row[1], row[2] == 1, *row[3:]) for row in rows]


def drawn(men: int, moves: int) -> list[chess.Board]:
    """Draw random positions, the same in every run."""
    chance = random.Random(100 * men + moves)
    return [random_board(chance, men) for _ in range(NUMBERS[moves])]


def quantile(values: list[int], part: float) -> int:
    """Return the least value that so large a part of the values does not exceed."""
    return sorted(values)[max(math.ceil(part * len(values)) - 1, 0)]


def amount(positions: int) -> str:
    """Return a number of positions to three places, in thousands; those that were given up are at the limit."""
    return f"over {MOST // 1000:,}" if positions > MOST else f"{float(f'{positions / 1000:.3g}'):,g}"


def work_row(name: str, spent: list[Spent]) -> list[str]:
    """Return how much the proofs took."""
    positions = [each.positions for each in spent]
    times = [each.nanoseconds for each in spent]
    within = sum(count <= USUAL for count in positions)
    return [
        name,
        str(len(spent)),
        *(amount(quantile(positions, part)) for part in (0.5, 0.9, 0.99, 1)),
        *(f"{float(f'{quantile(times, part) / 1e6:.3g}'):,g}" for part in (0.5, 0.9, 0.99, 1)),
        str(within),
        str(sum(not each.ended for each in spent)),
    ]


def share_row(name: str, spent: list[Spent]) -> list[str]:
    """Return where the work of those proofs went that came to an end: the mean of their shares."""
    whole = [each for each in spent if not each.ended and each.positions]

    def share(parts: list[int], wholes: list[int]) -> str:
        shares = [part / all_ for part, all_ in zip(parts, wholes, strict=True) if all_]
        return f"{statistics.fmean(shares):.0%}" if shares else ""

    total = [each.positions for each in whole]
    return [
        name,
        share([each.keys for each in whole], total),
        share([each.others for each in whole], total),
        share([each.refutations for each in whole], total),
        share([each.positions - each.keys - each.others - each.refutations for each in whole], total),
        share([each.others + each.refutations for each in whole], total),
        share([each.mates for each in whole], total),
        share([each.known for each in whole], [each.asked for each in whole]),
    ]


def main() -> None:
    """Measure and print."""
    if native.kernel is None:
        sys.exit("the kernel was not built here: there is nothing to measure")
    work, shares = [], []
    with tempfile.TemporaryDirectory() as folder:
        program = built(folder)
        for moves in NUMBERS:
            kinds = [(f"#{moves}, published", published(moves))]
            kinds += [(f"#{moves}, {men} men", drawn(men, moves)) for men in (6, 10, 16)]
            for name, boards in kinds:
                spent = prove_all(program, boards, moves)
                work.append(work_row(name, spent))
                shares.append(share_row(name, spent))
                print(f"{name}: done", file=sys.stderr)
    head = ["positions", "number", *(f"thousands: {part}" for part in ("median", "0.9", "0.99", "most"))]
    head += [*(f"ms: {part}" for part in ("median", "0.9", "0.99", "most")), f"within {DEFAULT_EFFORT:g} million"]
    table("What a proof of all takes, in thousands of positions and in ms", [*head, "within ten times that"], work)
    table(
        "Where its positions go: means of the shares",
        [
            "positions",
            "keys",
            "one refutation of each other move",
            "all their refutations",
            "play after keys, set play",
            "not keys, in all",
            "mates in one sought",
            "hash: known of those asked",
        ],
        shares,
    )


if __name__ == "__main__":
    main()
