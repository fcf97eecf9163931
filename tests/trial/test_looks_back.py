"""Tries told with looks back: "likewise", "the same pair and g2 besides", "on d5 she is taken too".

As ten people would tell them, spoken, printed and in prose, two in German, French and Spanish, forty of them were
written before there was anything that reads them; every second one, from the second on, was learnt from, the others
are scored only (`UNSEEN`). In form they are as those of test_tellings.py. A bound changes for the better only.
"""

import json
from pathlib import Path

import pytest

from .test_tellings import placed

TOLD = [json.loads(line) for line in (Path("tests/data") / "looks_back.jsonl").read_text("utf-8").splitlines()]
SEEN, UNSEEN = TOLD[1::2], TOLD[::2]
PLACED = {"seen": 0.87, "unseen": 0.87}


@pytest.mark.parametrize("name", PLACED)
def test_so_many_moves_are_placed(name: str, tmp_path: Path) -> None:
    counts = [placed(each, tmp_path) for each in (SEEN if name == "seen" else UNSEEN)]
    assert sum(read for read, _ in counts) / sum(all_told for _, all_told in counts) >= PLACED[name]
