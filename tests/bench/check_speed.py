"""How fast `keyproof check` goes through an archive, and where the time goes.

Run it from the root of the checkout: `python tests/bench/check_speed.py`. It writes an archive
of about a thousand mates in two (the demo columns, again and again) to a temporary folder,
checks it over two processes and again at twice the size, and prints two Markdown tables.
The proofs are searched, not remembered.
"""

import os
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from keyproof.grammar.sections import puzzle_texts
from keyproof.linter.reports.json import entry
from keyproof.linter.results import FileResult, PlacedFinding
from keyproof.linter.sources import read
from keyproof.rules.case.case import Case
from keyproof.rules.checks.run import findings

DEMO = sorted(Path("corpus/demo").glob("column-0[1-7]*"))  # mates in two only
COPIES = 42  # of 24 puzzles: 1,008


def archive(folder: Path, copies: int) -> int:
    """Fill `folder` with copies of the demo columns and return how many puzzles they hold."""
    for number in range(copies):
        for path in DEMO:
            shutil.copy(path, folder / f"{number:03}-{path.name}")
    return copies * sum(len(puzzle_texts(read(path)).puzzles) for path in DEMO)


def wall(folder: Path) -> float:
    """Check a folder over two processes and return the seconds it took."""
    # An installed tool is compiled; with this variable a checkout would be compiled anew in each run.
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    start = time.perf_counter()
    command = [sys.executable, "-m", "keyproof.linter", "check", "--jobs", "2", "--fresh", str(folder)]
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, env=environment)
    return time.perf_counter() - start


def stages() -> dict[str, float]:
    """Return the seconds one process spends on each stage for the demo columns, the best of five runs."""
    best: dict[str, float] = {}
    for _ in range(5):
        spent: dict[str, float] = {}

        def timed(name: str, work: Callable[[], object], spent: dict[str, float] = spent) -> object:
            start = time.perf_counter()
            result = work()
            spent[name] = spent.get(name, 0.0) + time.perf_counter() - start
            return result

        for path in DEMO:
            document = timed("files and positions", lambda path=path: read(path))
            parts = timed("files and positions", lambda document=document: puzzle_texts(document))
            for puzzle in parts.puzzles:
                case = Case(document.text, document.masked, puzzle, parts.loose)
                timed("statements", lambda case=case: (case.statements, case.stipulation))
                timed("replay", lambda case=case: case.reading)
                timed("proof", lambda case=case: case.proof)
                found = timed("rules", lambda case=case: findings(case))
                placed = tuple(PlacedFinding(finding, 0) for finding in found)
                timed("report", lambda placed=placed, document=document: _report(document.path, document.text, placed))
        best = spent if not best or sum(spent.values()) < sum(best.values()) else best
    return best


def _report(path: str, text: str, placed: tuple[PlacedFinding, ...]) -> None:
    entry(FileResult(path, text, findings=placed), first=True)


def main() -> None:
    """Measure and print."""
    with tempfile.TemporaryDirectory() as one, tempfile.TemporaryDirectory() as two:
        puzzles = archive(Path(one), COPIES)
        archive(Path(two), 2 * COPIES)
        once, twice = min(wall(Path(one)) for _ in range(3)), min(wall(Path(two)) for _ in range(3))
    memory = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    print(f"| {puzzles} mates in two, two processes | {once:.2f} s |\n|---|---|")
    print(f"| twice as many | {twice:.2f} s, {twice / once:.2f} times |")
    print(f"| memory of the largest process | {memory:.0f} MB |\n")
    spent = stages()
    whole = sum(spent.values())
    print("| stage | share | ms a puzzle |\n|---|---|---|")
    count = puzzles / COPIES
    for name, seconds in spent.items():
        print(f"| {name} | {100 * seconds / whole:.0f} % | {1000 * seconds / count:.2f} |")


if __name__ == "__main__":
    main()
