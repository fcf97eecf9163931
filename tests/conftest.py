"""Profiles of the property tests: the gate is the same on every machine, the explorer looks further.

No test keeps proofs where those of the user are kept.
"""

import os

from hypothesis import HealthCheck, settings

settings.register_profile(
    "gate", deadline=None, derandomize=True, max_examples=100, suppress_health_check=[HealthCheck.too_slow]
)
settings.register_profile("explore", settings.get_profile("gate"), derandomize=False, max_examples=1000)
settings.load_profile("gate")  # `--hypothesis-profile=explore` is read after this file

os.environ["KEYPROOF_CACHE"] = ""
