"""Hostile texts that look for code nobody has reached yet: `python tests/bench/fuzz.py MINUTES FOLDER [SEED]`.

It needs atheris (`pip install atheris`), which follows what a text reaches and changes those that reach more. The first
byte of an input chooses the kind of file. FOLDER keeps what reached more, for the next run; an input that fails is
written there as crash-..., one that takes longer than a minute as timeout-.... Run from the root of the checkout.
"""

import base64
import json
import random
import sys
from pathlib import Path

import atheris

sys.path.insert(0, str(Path(__file__).parents[1]))

with atheris.instrument_imports(include=["keyproof"], enable_loader_override=False):
    from test_hostile import FOUND, MANNERS, SUFFIXES, survives

LONGEST = 1_500  # bytes of an input


def one(data: bytes) -> None:
    """Check one input."""
    if data:
        survives(SUFFIXES[data[0] % len(SUFFIXES)], data[1:])


def seeds(folder: Path) -> None:
    """Write inputs to begin with: of every manner some, and what was found before."""
    folder.mkdir(parents=True, exist_ok=True)
    for number, manner in enumerate(MANNERS * 4):
        text = manner(random.Random(number))[:LONGEST]
        (folder / f"seed-{number}").write_bytes(bytes([number % len(SUFFIXES)]) + text)
    for number, line in enumerate(map(json.loads, FOUND.read_text("utf-8").splitlines())):
        kind = SUFFIXES.index(line["suffix"])
        (folder / f"found-{number}").write_bytes(bytes([kind]) + base64.b64decode(line["data"]))


def main(minutes: float, folder: Path, seed: int) -> None:
    """Fuzz until the time is over."""
    seeds(folder)
    limits = [f"-max_total_time={int(60 * minutes)}", f"-seed={seed}", f"-max_len={LONGEST}", "-timeout=60"]
    atheris.Setup([sys.argv[0], str(folder), *limits, f"-artifact_prefix={folder}/"], one)
    atheris.Fuzz()


if __name__ == "__main__":
    main(float(sys.argv[1]), Path(sys.argv[2]), int(sys.argv[3]) if len(sys.argv) > 3 else 29)
