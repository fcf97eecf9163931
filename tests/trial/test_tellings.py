"""Short tellings of one thing each (a try and what refutes it, a defence and its mate, a threat), spoken and written.

Two writers who knew nothing of this tool wrote ten of each kind in each manner: under a FEN `before` stands in terse
notation, then `text`. `moves` are the half-moves told in it with their whole path; all were played by python-chess.
Of each manner every second telling, from the second on, has been looked at; the others are scored only (`UNSEEN`).
The usual run takes a sample, `pytest --whole-trial` all of them. A bound changes for the better only.
"""

import json
from pathlib import Path
from typing import Any

import pytest
from keyproof.grammar.spans import Lines

from .score import checked, moves_read
from .truth import bare

TOLD = [json.loads(line) for line in (Path("tests/data") / "tellings.jsonl").read_text("utf-8").splitlines()]
SEEN, UNSEEN = TOLD[1::2], TOLD[::2]
SAMPLED = 5
PLACED = {"seen": 0.77, "unseen": 0.71}
PLACED_OF_SAMPLE = {"seen": 0.84, "unseen": 0.70}


def placed(told: dict[str, Any], folder: Path) -> tuple[int, int]:
    """Return how many of the moves told were read at their place, and how many there are."""
    path = folder / "telling.txt"
    before = f"{told['before'].strip()}\n" if told["before"].strip() else ""
    path.write_text(f"FEN: {told['fen']}\nMate in two.\n\n{before}{told['text']}\n", encoding="utf-8")
    result, cases = checked(path)
    read = {(*to, move) for case in cases for _, (to, move) in moves_read(case, Lines(result.text))}
    wanted = [tuple(map(bare, moves)) for moves in told["moves"]]
    return sum(moves in read for moves in wanted), len(wanted)


@pytest.mark.parametrize("name", PLACED)
def test_so_many_moves_are_placed(name: str, tmp_path: Path, request: pytest.FixtureRequest) -> None:
    whole = bool(request.config.getoption("--whole-trial"))
    told = SEEN if name == "seen" else UNSEEN
    counts = [placed(each, tmp_path) for each in (told if whole else told[::SAMPLED])]
    share = sum(read for read, _ in counts) / sum(all_told for _, all_told in counts)
    assert share >= (PLACED if whole else PLACED_OF_SAMPLE)[name]
