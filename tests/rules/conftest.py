"""Where no compiler was at hand, the many texts about one position have it proved once a run, not once each."""

import os
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from corpus_checked import SHARED
from keyproof.linter.cache import ProofStore
from keyproof.rules.proof import memory, prover


@cache
def proofs() -> ProofStore:
    """The proofs of this run, shared by its processes."""
    return ProofStore(Path(os.environ[SHARED]) / "proofs.sqlite")


@pytest.fixture(autouse=True)
def remembered() -> Iterator[None]:
    """Let the plain prover, a thousand times as slow as the kernel, look into what was proved before."""
    memory.use(proofs() if prover.backend() == "plain" else None)
    yield
    memory.use(None)
