"""How long one column takes from the command to the verdict, compared with bare imports.

    python tests/bench/startup.py [RUNS]

Prints the middle of several runs in seconds of processor time and of wall time: with nothing
kept from earlier runs, and with tables and proofs kept. The ratio is to an interpreter that
imports the libraries keyproof needs and does nothing.
"""

import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

BARE = [sys.executable, "-c", "import chess, lark, click"]
COLUMN = Path(__file__).parents[2] / "corpus" / "demo" / "column-01.md"
CHECK = [sys.executable, "-m", "keyproof.linter", "check", str(COLUMN)]


def measure(command: list[str], environment: dict[str, str]) -> tuple[float, float]:
    """Return processor time and wall time of one run, in seconds."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    began = time.perf_counter()
    done = subprocess.run(command, env=environment, stdout=subprocess.PIPE, text=True, check=True)
    wall = time.perf_counter() - began
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    if command is CHECK and "No fault was found" not in done.stdout:
        raise SystemExit(f"the column is not clean:\n{done.stdout}")
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime, wall


def main(runs: int) -> None:
    """Measure and print."""
    took: dict[str, list[tuple[float, float]]] = {"bare imports": [], "nothing kept": [], "tables and proofs kept": []}
    with tempfile.TemporaryDirectory() as kept:
        warm = os.environ | {"KEYPROOF_CACHE": kept}
        measure(CHECK, warm)
        for _ in range(runs):  # in turn, so that a busy machine is unfair to none of them
            took["bare imports"].append(measure(BARE, dict(os.environ)))
            with tempfile.TemporaryDirectory() as empty:
                took["nothing kept"].append(measure(CHECK, os.environ | {"KEYPROOF_CACHE": empty}))
            took["tables and proofs kept"].append(measure(CHECK, warm))
    base = statistics.median(processor for processor, _ in took["bare imports"])
    for name, times in took.items():
        processor = statistics.median(time for time, _ in times)
        wall = statistics.median(time for _, time in times)
        print(f"{name:<24}{processor:7.3f} s processor {wall:7.3f} s wall {processor / base:7.1f} x bare imports")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 9)
