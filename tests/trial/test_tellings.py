"""Short tellings of one thing each (a try and what refutes it, a defence and its mate, a threat), spoken and written.

Two writers who knew nothing of this tool wrote ten of each kind in each manner: under a FEN `before` stands in terse
notation, then `text`. `moves` are the half-moves told in it with their whole path; all were played by python-chess.
Of each manner every second telling, from the second on, has been looked at; the others are scored only (`UNSEEN`).
The usual run takes a sample, `pytest --whole-trial` all of them. A bound changes for the better only.

escapes.jsonl holds forty more in the same form, of ten other speakers: why another mate fails behind a defence, and
what could be played in the diagram. They were halved alike, and are counted by their four half-moves and their passes.
"""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from keyproof.grammar.spans import Lines

from .score import checked, moves_read
from .truth import bare

TOLD = [json.loads(line) for line in (Path("tests/data") / "tellings.jsonl").read_text("utf-8").splitlines()]
SEEN, UNSEEN = TOLD[1::2], TOLD[::2]
SAMPLED = 5
_PLAY = 3  # half-moves of a mate in two
PLACED = {"seen": 0.77, "unseen": 0.71}
ESCAPES = [json.loads(line) for line in (Path("tests/data") / "escapes.jsonl").read_text("utf-8").splitlines()]
ESCAPES_PLACED = {"seen": 0.95, "unseen": 0.74}
PLACED_OF_SAMPLE = {"seen": 0.84, "unseen": 0.70}


def placed(told: dict[str, Any], folder: Path, only: Callable[[list[str]], bool] | None = None) -> tuple[int, int]:
    """Return how many of the moves told, of all or `only` some, were read at their place, and how many there are."""
    path = folder / "telling.txt"
    before = f"{told['before'].strip()}\n" if told["before"].strip() else ""
    path.write_text(f"FEN: {told['fen']}\nMate in two.\n\n{before}{told['text']}\n", encoding="utf-8")
    result, cases = checked(path)
    read = {(*to, move) for case in cases for _, (to, move) in moves_read(case, Lines(result.text))}
    wanted = [tuple(map(bare, moves)) for moves in told["moves"] if only is None or only(moves)]
    return sum(moves in read for moves in wanted), len(wanted)


@pytest.mark.parametrize("name", PLACED)
def test_so_many_moves_are_placed(name: str, tmp_path: Path, request: pytest.FixtureRequest) -> None:
    whole = bool(request.config.getoption("--whole-trial"))
    told = SEEN if name == "seen" else UNSEEN
    counts = [placed(each, tmp_path) for each in (told if whole else told[::SAMPLED])]
    share = sum(read for read, _ in counts) / sum(all_told for _, all_told in counts)
    assert share >= (PLACED if whole else PLACED_OF_SAMPLE)[name]


@pytest.mark.parametrize("name", ESCAPES_PLACED)
def test_so_many_escapes_are_placed(name: str, tmp_path: Path) -> None:
    told = ESCAPES[1::2] if name == "seen" else ESCAPES[::2]
    counts = [placed(each, tmp_path, _is_no_play) for each in told]
    share = sum(read for read, _ in counts) / sum(all_told for _, all_told in counts)
    assert share >= ESCAPES_PLACED[name]


def _is_no_play(moves: list[str]) -> bool:
    return len(moves) > _PLAY or moves[0] == "--"
