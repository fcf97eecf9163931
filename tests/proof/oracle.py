"""What the plain prover says of a position, kept between runs.

Its answers never change while it does not, and it takes a hundred times as long as the kernel to find them. So the
digests of those that the gate asks for are kept in tests/data/plain.jsonl, under a digest of all that they follow
from. The gate takes them from there; the `explore` profile, and whatever is not kept, asks the plain prover itself.

    python -m pytest -n0 tests/proof/test_agreement.py --renew-plain

asks it everything again and writes the file.
"""

import atexit
import hashlib
import json
from collections.abc import Callable
from functools import cache
from pathlib import Path

import chess
from hypothesis import settings
from keyproof.rules.board import stipulation
from keyproof.rules.proof import plain, proof

KEPT = Path(__file__).parents[1] / "data" / "plain.jsonl"

renewed: dict[str, str] | None = None
"""What was asked in this run, where the file is to be written anew."""


def version() -> str:
    """Return a digest of all that makes the answers what they are."""
    digest = hashlib.sha256(chess.__version__.encode())
    for module in (plain, proof, stipulation):
        digest.update(Path(module.__file__).read_bytes())
    return digest.hexdigest()[:16]


def digest_of(answer: object) -> str:
    """Return what stands for an answer in the file."""
    return hashlib.sha256(repr(answer).encode()).hexdigest()[:16]


@cache
def kept() -> dict[str, str]:
    """Return the digests by question, none where they were made by another prover."""
    first, *rows = KEPT.read_text(encoding="utf-8").splitlines()
    return dict(json.loads(row) for row in rows) if json.loads(first) == version() else {}


def begin_renewal() -> None:
    """Note what is asked from here on, and write it to the file when the process ends."""
    global renewed
    renewed = {}
    atexit.register(write)


def write() -> None:
    """Write the file anew."""
    assert renewed is not None
    rows = [version(), *(list(row) for row in sorted(renewed.items()))]
    KEPT.write_text("".join(f"{json.dumps(row)}\n" for row in rows), encoding="utf-8")


def assert_agrees(found: object, task: str, board: chess.Board, search: Callable[[], object]) -> None:
    """Compare an answer of the kernel with that of the plain prover; where they differ, both are shown."""
    question = f"{task} {board.fen(en_passant='fen')}"
    if renewed is None and not exploring() and kept().get(question) == digest_of(found):
        return
    answer = search()
    assert found == answer
    assert digest_of(found) == digest_of(answer)  # what is kept says no less
    if renewed is not None:
        renewed[question] = digest_of(answer)


def exploring() -> bool:
    """Tell whether the examples are others in each run."""
    return not settings.default.derandomize
