"""Puzzle files and results for the tests of the command line. All positions and texts are invented."""

import os
import subprocess
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

FEN = "8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1"
SOUND = f"No. 1  The waiting king\n{FEN}\nMate in two.\n1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#\n"
FAULTY = f"No. 2  The waiting king\n{FEN}\nMate in two.\n1.Kg2! Kh4 2.Re3#, 1...h4 2.Rg5#\n"
STRANGE = f"""No. 3  The waiting king
{FEN}
Mate in two.
Betwixt g2 and h4 the monarch dithers, as e4 would. The tower by g5 frowns at h4, and g5 smirks. Whither h5, whither f4?
"""  # of its clauses few are understood, and none is false as it was read

Keyproof = Callable[..., Result]
Process = Callable[..., "subprocess.CompletedProcess[str]"]


@pytest.fixture
def keyproof() -> Keyproof:
    """Run the command in this process."""
    from keyproof.linter.cli import cli

    def run(*arguments: str) -> Result:
        return CliRunner().invoke(cli, arguments, prog_name="keyproof")

    return run


@pytest.fixture
def process(tmp_path: Path) -> Process:
    """Run the command in a process of its own, in the test's folder."""

    def run(*arguments: str, **extra: str) -> "subprocess.CompletedProcess[str]":
        return subprocess.run(
            command(*arguments),
            cwd=tmp_path,
            env=environment(**extra),
            capture_output=True,
            encoding="utf-8",
            timeout=120,
        )

    return run


def command(*arguments: str) -> Sequence[str]:
    return [sys.executable, "-m", "keyproof.linter", *arguments]


def environment(**extra: str) -> dict[str, str]:
    kept = {key: value for key, value in os.environ.items() if key not in ("NO_COLOR", "FORCE_COLOR", "COLUMNS")}
    return kept | {"PYTHONUTF8": "1", "TERM": "xterm-256color"} | extra
