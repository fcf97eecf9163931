"""kill -9 at any moment, a full disk, others who write: nothing is lost, doubled or damaged.

A few of each here; many by hand: python tests/bench/kills.py --times 1000.
"""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from keyproof.linter.decoding import decode
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_file
from keyproof.linter.repair import applied

from .conftest import FEN, command, environment

pytestmark = pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="no such signal here")

TRIALS = Path(__file__).parents[1] / "bench" / "kills.py"
KILLS = os.environ.get("KEYPROOF_KILLS", "4")
MISMARKED = f"FEN: {FEN}\nMate in two.\n1.Kg2! Kh4 2.Re4+, 1...h4 2.Rg5+\n"


@pytest.mark.parametrize("trial", ["repair", "repair-full", "repair-two", "repair-changed"])
def test_a_repaired_file_is_the_old_or_the_new_one(trial: str) -> None:
    tried(trial)


@pytest.mark.parametrize("trial", ["store", "store-full"])
def test_the_store_of_proofs_answers_right(trial: str) -> None:
    tried(trial)


@pytest.mark.parametrize("trial", ["report", "report-full"])
def test_no_line_of_a_report_is_lost_or_doubled(trial: str) -> None:
    tried(trial)


def tried(trial: str) -> None:
    run = [sys.executable, str(TRIALS), "--times", KILLS, trial]
    done = subprocess.run(run, env=environment(), capture_output=True, encoding="utf-8")
    assert done.returncode == 0, done.stdout + done.stderr


def test_a_file_that_is_a_link_or_read_only_is_kept_so(tmp_path: Path) -> None:
    real = tmp_path / "real.txt"
    real.write_text(MISMARKED)
    link = tmp_path / "link.txt"
    link.symlink_to(real)
    subprocess.run([*command("check", "--repair", "--write", str(link))], env=environment(), capture_output=True)
    assert link.is_symlink()
    edits = [edit for found in check_file(str(real), Options()).findings for edit in found.finding.repair]
    assert applied(decode(real.read_bytes()).text, edits) == real.read_text()
    real.write_text(MISMARKED)
    real.chmod(0o444)
    if os.access(real, os.W_OK):
        pytest.skip("whoever runs this may write everywhere")
    done = subprocess.run(
        [*command("check", "--repair", "--write", str(real))], env=environment(), capture_output=True, encoding="utf-8"
    )
    assert done.returncode == 2
    assert real.read_text() == MISMARKED
