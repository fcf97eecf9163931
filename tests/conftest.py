"""How the tests are run: profiles of the property tests, one folder of what is compiled, which tests go together.

No test keeps proofs where those of the user are kept.
"""

import gc
import os
import sys
import tempfile
import time
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

# The gate is the same on every machine and looks at few examples; the explorer draws others each time
# (.ci/explore prints its seed) and recomputes what the gate takes from a file.
settings.register_profile(
    "gate", deadline=None, derandomize=True, max_examples=25, suppress_health_check=[HealthCheck.too_slow]
)
settings.register_profile("explore", settings.get_profile("gate"), derandomize=False, max_examples=500)
settings.load_profile("gate")  # `--hypothesis-profile=explore` is read after this file

os.environ["KEYPROOF_CACHE"] = ""

# Hundreds of processes are started, and each would compile every module anew where compiled ones are not kept.
_COMPILED = Path(__file__).parents[1] / ".pytest_cache" / "compiled"
os.environ["PYTHONPYCACHEPREFIX"] = sys.pycache_prefix = str(_COMPILED)
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False

gc.disable()  # until all tests are known, and none of what was made so far is ever looked through again

_TOGETHER = {
    "test_sheet_in_browser": "browser",
    "test_page": "browser",
    "test_page_holds": "browser",
    "test_page_walk": "browser",
    "network": "network",
}
"""Files, tests and marks that share what is dear to make, so that one process runs all of a group."""

_MINUTES = pytest.StashKey[float]()
_SHARED = pytest.StashKey["tempfile.TemporaryDirectory[str]"]()


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add the options of the second run."""
    parser.addoption("--minutes", type=float, help="skip the tests that have not begun after so many minutes")
    parser.addoption("--whole-trial", action="store_true", help="read every text of tests/trial, not a sample")
    parser.addoption("--renew-plain", action="store_true", help="write the answers of the plain prover anew (with -n0)")


def pytest_configure(config: pytest.Config) -> None:
    """Make the folder in which processes share results; note when the time is up, and whether answers are renewed."""
    if not hasattr(config, "workerinput"):
        config.stash[_SHARED] = tempfile.TemporaryDirectory()
        os.environ["KEYPROOF_TESTS_SHARED"] = config.stash[_SHARED].name  # see corpus_checked.py
    if config.getoption("--renew-plain"):
        sys.path.insert(0, str(Path(__file__).parent / "proof"))
        import oracle

        oracle.begin_renewal()
    minutes = config.getoption("--minutes")
    if minutes is not None:
        config.stash[_MINUTES] = time.monotonic() + 60 * minutes


def pytest_unconfigure(config: pytest.Config) -> None:
    """Remove what was shared."""
    if _SHARED in config.stash:
        config.stash[_SHARED].cleanup()


def pytest_runtest_setup(item: pytest.Item) -> None:
    """Leave out what there is no time for, and say so."""
    if time.monotonic() > item.config.stash.get(_MINUTES, float("inf")):
        pytest.skip("the time is up")


def pytest_collection_finish(session: pytest.Session) -> None:
    """See that the groups are known to those who hand out the tests; look for what nobody holds, but not so often.

    A check makes many values and hardly a circle of them; as usual, each 700 values more had the young looked through.
    """
    gc.freeze()
    gc.set_threshold(20_000, 10, 10)
    gc.enable()
    if getattr(session.config.option, "loadgroup", False):
        for item in session.items:
            mark = item.get_closest_marker("xdist_group")
            if mark is not None and "@" not in item.nodeid:
                raise pytest.UsageError("pytest-xdist does not tell this pytest which tests belong together")


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Keep together what belongs together; skip what only the kernel can prove, where no compiler was at hand."""
    from keyproof.rules.proof import prover

    plain = prover.backend() == "plain"
    for item in items:
        for name, group in _TOGETHER.items():
            if name in (item.path.stem, item.name) or item.get_closest_marker(name):
                item.add_marker(pytest.mark.xdist_group(group))
        if plain and item.get_closest_marker("kernel"):
            item.add_marker(pytest.mark.skip(reason="the plain prover would take hours over these puzzles"))
