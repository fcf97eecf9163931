"""What it costs to start: one column from the command to the verdict, and the help, compared with bare imports.

    python tests/bench/startup.py [RUNS]

Prints the middle of several runs, taken in turns, in seconds of processor time, and the ratio to an
interpreter that imports the libraries and does nothing. Compiled modules are kept in a folder of the
benchmark's own, as an installed tool keeps them, whatever the environment says.
"""

import os
import resource
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

COLUMN = Path(__file__).parents[2] / "corpus" / "demo" / "column-01.md"
CHECK = [sys.executable, "-m", "keyproof.linter", "check", str(COLUMN)]
HELP = [sys.executable, "-m", "keyproof.linter", "--help"]
LIBRARIES = [sys.executable, "-c", "import chess, lark, click"]
CLICK = [sys.executable, "-c", "import click"]
AIMS = {"check": 2.5, "help": 1.5}


def measure(command: list[str], environment: dict[str, str]) -> float:
    """Return the processor time of one run, in seconds."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run(command, env=environment, stdout=subprocess.PIPE, text=True, check=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    if command is CHECK and "No fault was found" not in done.stdout:
        raise SystemExit(f"the column is not clean:\n{done.stdout}")
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main(runs: int) -> None:
    """Measure and print."""
    took: dict[str, list[float]] = {"libraries": [], "check, nothing kept": [], "check": [], "click": [], "help": []}
    with tempfile.TemporaryDirectory() as kept, tempfile.TemporaryDirectory() as compiled:
        usual = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
        usual |= {"KEYPROOF_CACHE": kept, "PYTHONPYCACHEPREFIX": compiled}
        commands = {"libraries": LIBRARIES, "check": CHECK, "click": CLICK, "help": HELP}
        for command in commands.values():
            measure(command, usual)  # compiles
        for _ in range(runs):  # in turn, so that a busy machine is unfair to none of them
            for name, command in commands.items():
                took[name].append(measure(command, usual))
            took["check, nothing kept"].append(measure(CHECK, usual | {"KEYPROOF_CACHE": ""}))
    middle = {name: statistics.median(times) for name, times in took.items()}
    print("| command | processor, ms | ratio | to the import of | aim |")
    print("|---|---|---|---|---|")
    for name, base in (("check", "libraries"), ("check, nothing kept", "libraries"), ("help", "click")):
        aim = AIMS.get(name, "")
        print(f"| {name} | {1000 * middle[name]:.0f} | {middle[name] / middle[base]:.2f} | {base} | {aim} |")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 9)
