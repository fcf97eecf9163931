"""How many instructions the check of one puzzle of the terse columns takes: the same number on a busy machine.

Run it from the root of the checkout: `python tests/bench/instructions.py`. It counts with valgrind (cachegrind, no
caches simulated) what the demo columns of mates in two take, checked once and twice over, and prints the difference a
puzzle; what is remembered from one round to the next is forgotten first. `--calls` counts calls of functions
instead, in a second and without valgrind, which is good enough to see whether a change gains.
"""

import cProfile
import functools
import gc
import os
import pstats
import re
import subprocess
import sys
import tempfile
from pathlib import Path

from keyproof.grammar import told_men
from keyproof.grammar.sections import puzzle_texts
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_document
from keyproof.linter.sources import read

DEMO = sorted(Path("corpus/demo").glob("column-0[1-7]*"))  # mates in two only


def check(rounds: int) -> None:
    """Check the columns so many times."""
    for _ in range(rounds):
        forget()
        check_once()


def check_once() -> None:
    """Check the columns."""
    for path in DEMO:
        check_document(read(path), Options(fresh=True))


def forget() -> None:
    """Empty all bounded caches, and forget the last texts in which positions are told in words."""
    for each in gc.get_objects():
        if isinstance(each, functools._lru_cache_wrapper) and each.cache_parameters()["maxsize"]:
            each.cache_clear()
    told_men._READ._known = ()


def counted(rounds: int) -> int:
    """Return the instructions of a process that does so."""
    with tempfile.NamedTemporaryFile() as told:
        words = ["valgrind", "--tool=cachegrind", "--cache-sim=no", f"--cachegrind-out-file={told.name}"]
        run = [*words, sys.executable, __file__, "--rounds", str(rounds)]
        environment = os.environ | {"PYTHONHASHSEED": "0", "KEYPROOF_CACHE": ""}
        done = subprocess.run(run, capture_output=True, encoding="utf-8", env=environment, check=True)
    found = re.search(r"I\s+refs:\s+([\d,]+)", done.stderr)
    assert found is not None, done.stderr
    return int(found[1].replace(",", ""))


def calls() -> int:
    """Return the calls of functions that one round takes."""
    check(1)
    forget()
    profile = cProfile.Profile()
    profile.runcall(check_once)
    told = pstats.Stats(profile)
    return int(told.total_calls)  # type: ignore[attr-defined]


def main(words: list[str]) -> None:
    """Measure and print."""
    if words[:1] == ["--rounds"]:
        check(int(words[1]))
        return
    puzzles = sum(len(puzzle_texts(read(path)).puzzles) for path in DEMO)
    if words == ["--calls"]:
        print(f"{calls() / puzzles:,.0f} calls a puzzle")
    else:
        print(f"{(counted(2) - counted(1)) / puzzles / 1e6:.1f} million instructions a puzzle, of {puzzles}")


if __name__ == "__main__":
    main(sys.argv[1:])
