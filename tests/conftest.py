"""Profiles of the property tests: the gate is the same on every machine, the explorer looks further.

No test keeps proofs where those of the user are kept.
"""

import os

import pytest
from hypothesis import HealthCheck, settings

settings.register_profile(
    "gate", deadline=None, derandomize=True, max_examples=100, suppress_health_check=[HealthCheck.too_slow]
)
settings.register_profile("explore", settings.get_profile("gate"), derandomize=False, max_examples=1000)
settings.load_profile("gate")  # `--hypothesis-profile=explore` is read after this file

os.environ["KEYPROOF_CACHE"] = ""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Skip what only the kernel can prove in reasonable time, where no compiler was at hand."""
    from keyproof.rules.proof import prover

    if prover.backend() == "plain":
        for item in items:
            if item.get_closest_marker("kernel"):
                item.add_marker(pytest.mark.skip(reason="the plain prover would take hours over these puzzles"))
