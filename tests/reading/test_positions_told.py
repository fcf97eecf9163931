"""Positions as people told them, each in a manner of its own, before any of it was read by keyproof.

The writers knew each position and nothing of this tool; sound mates in two from a random search of our own. The usual
run takes a sample, `pytest --whole-trial` all of them. A bound changes for the better only.
"""

import json
from pathlib import Path

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text

TOLD = [json.loads(line) for line in (Path("tests/data") / "positions_told.jsonl").read_text("utf-8").splitlines()]
SAMPLED = 5
READ, WRONG = 186, 6
READ_OF_SAMPLE, WRONG_OF_SAMPLE = 42, 0


def test_so_many_positions_are_read_as_they_were_told(request: pytest.FixtureRequest) -> None:
    whole = bool(request.config.getoption("--whole-trial"))
    read = wrong = 0
    for told in TOLD if whole else TOLD[::SAMPLED]:
        found = {
            puzzle.fen.split()[0]
            for puzzle in check_text(told["file"], told["text"], Options(fresh=True)).puzzles
            if puzzle.fen
        }
        read += told["position"] in found
        wrong += bool(found) and told["position"] not in found
    assert (read, wrong) >= ((READ if whole else READ_OF_SAMPLE), 0)
    assert wrong <= (WRONG if whole else WRONG_OF_SAMPLE)
