"""kill -9 at any moment: a file is the old or the new one, and the store of proofs answers right or not at all.

A few kills here; many by hand: KEYPROOF_KILLS=1000 pytest tests/cli/test_kills.py.
"""

import json
import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from keyproof.linter.decoding import decode
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_file
from keyproof.linter.repair import applied

from .conftest import FEN, command, environment

pytestmark = pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="no such signal here")

KILLS = int(os.environ.get("KEYPROOF_KILLS", "4"))
SEED = int(os.environ.get("KEYPROOF_SEED", "1"))
MISMARKED = f"FEN: {FEN}\nMate in two.\n1.Kg2! Kh4 2.Re4+, 1...h4 2.Rg5+\n"


def killed(run: list[str], settings: dict[str, str], after: float) -> None:
    """Begin a run and kill it so many seconds later."""
    with subprocess.Popen(run, env=settings, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as process:
        time.sleep(after)
        process.kill()


def test_a_repaired_file_is_the_old_or_the_new_one(tmp_path: Path) -> None:
    folder = tmp_path / "column"
    folder.mkdir()
    settings = environment(KEYPROOF_CACHE="")
    path = folder / "a.txt"
    path.write_text(MISMARKED)
    run = [*command("check", "--repair", "--write", str(path))]
    began = time.monotonic()
    subprocess.run(run, env=settings, capture_output=True)
    lasts, new = time.monotonic() - began, path.read_text()
    assert new != MISMARKED
    chance = random.Random(SEED)
    for _ in range(KILLS):
        path.write_text(MISMARKED)
        killed(run, settings, chance.uniform(0.5, 1.1) * lasts)
        assert path.read_text() in (MISMARKED, new)
        left = [each.name for each in folder.iterdir() if each != path]
        assert all(name.startswith(".a.txt.") for name in left)  # hidden, and never read as a puzzle file
    subprocess.run(run, env=settings, capture_output=True)
    assert path.read_text() == new


WRITER = """
import sys, chess
from keyproof.linter import cache
from keyproof.rules.board.stipulation import Stipulation
from keyproof.rules.proof import memory, prover
memory.WORTH_KEEPING.update(native=0, plain=0)
print(cache.begin(), flush=True)
for round in range(int(sys.argv[1])):
    for line in open(sys.argv[2]):
        proof = prover.prove(chess.Board(line.strip()), Stipulation.parse("#2"))
        print(line.strip(), proof.verdict, *sorted(move.uci() for move in proof.keys), flush=True)
"""


@pytest.fixture
def positions(tmp_path: Path) -> Path:
    made = [
        json.loads(line) for line in (Path(__file__).parents[1] / "data" / "published.jsonl").read_text().splitlines()
    ]
    fens = [each["fen"] for each in made if str(each.get("stipulation", "")) == "#2"] or [FEN]
    path = tmp_path / "positions.txt"
    path.write_text("".join(f"{fen}\n" for fen in fens[:8]))
    return path


def told(output: str) -> set[str]:
    return {line for line in output.splitlines()[1:] if (line.split()[-1:] and " w " in line) or " b " in line}


def test_many_writers_killed_leave_a_store_that_answers_right(tmp_path: Path, positions: Path) -> None:
    run = [sys.executable, "-c", WRITER]
    alone = subprocess.run(
        [*run, "1", str(positions)], env=environment(KEYPROOF_CACHE=""), capture_output=True, encoding="utf-8"
    )
    right = told(alone.stdout)
    assert right, alone.stderr
    settings = environment(KEYPROOF_CACHE=str(tmp_path / "store"))
    chance = random.Random(SEED)
    for _ in range(KILLS):
        writers = [
            subprocess.Popen([*run, "50", str(positions)], env=settings, stdout=subprocess.PIPE, encoding="utf-8")
            for _ in range(2)
        ]
        time.sleep(chance.uniform(0.2, 1.5))
        for each in writers:
            each.kill()
        for each in writers:
            output, _ = each.communicate()
            whole = output[: output.rfind("\n") + 1]
            assert told(whole) <= right
    after = subprocess.run([*run, "1", str(positions)], env=settings, capture_output=True, encoding="utf-8")
    assert told(after.stdout) == right
    assert after.stdout.splitlines()[0] == "[]", "the store was found damaged"


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
