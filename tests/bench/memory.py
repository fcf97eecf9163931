"""How much memory a check takes at its peak, by the size of the archive and the report.

Run it from the root of the checkout: `python tests/bench/memory.py [PUZZLES...]`. The archive is one file of EPD, so
that nothing but the stretches keeps its puzzles from being held at once. Its positions are made by puzzles.py here.
"""

import itertools
import os
import subprocess
import sys
import tempfile
from pathlib import Path

import puzzles

DISTINCT = 300  # positions; they stand again and again, each record with a name of its own


def records(number: int, fens: list[str]) -> str:
    """Return so many records."""
    return "".join(f'{fens[each % len(fens)]} dm 2; id "No. {each}";\n' for each in range(number))


def peak(path: Path, form: str) -> tuple[float, float]:
    """Return the megabytes and the processor seconds that a check takes in one process."""
    run = [sys.executable, "-m", "keyproof.linter", "check", "--jobs", "1", "--as", form, str(path)]
    with subprocess.Popen(run, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as process:
        _, _, used = os.wait4(process.pid, 0)
        process.returncode = 0
    return used.ru_maxrss / 1024, used.ru_utime + used.ru_stime


def main(sizes: list[int]) -> None:
    """Measure and print."""
    fens = [" ".join(board.fen().split()[:4]) for board in itertools.islice(puzzles.positions(), DISTINCT)]
    print("| puzzles | report | MB at the peak | processor, s |\n|---|---|---|---|")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "archive.epd"
        for size, form in itertools.product(sizes, ("jsonl", "text", "sarif")):
            path.write_text(records(size, fens))
            memory, seconds = peak(path, form)
            print(f"| {size:,} | {form} | {memory:.0f} | {seconds:.1f} |", flush=True)


if __name__ == "__main__":
    main([int(size) for size in sys.argv[1:]] or [1_000, 10_000])
