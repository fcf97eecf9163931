"""The source package of python-chess: its data directory holds endgame tables and solved endings."""

import os
import subprocess
import sys
import tarfile
from pathlib import Path

import pytest

RELEASE = "1.11.2"  # of the source package `chess`


def fetch(into: Path) -> str:
    """Fetch the source package; return what went wrong. pip prepares what it downloads, at need with our setuptools."""
    trouble = ""
    for isolation in ([], ["--no-build-isolation"]):
        command = [sys.executable, "-m", "pip", "download", "-q", "--no-binary", ":all:", "--no-deps", *isolation]
        try:
            subprocess.run(
                [*command, "--dest", str(into), f"chess=={RELEASE}"],
                capture_output=True,
                text=True,
                timeout=120,
                check=True,
            )
        except subprocess.CalledProcessError as error:
            trouble = error.stderr.strip()[-200:]
        except subprocess.TimeoutExpired:
            trouble = "no answer within two minutes"
        else:
            break
    return trouble


@pytest.fixture(scope="session")
def data() -> Path:
    """The data directory of the source package, fetched once into the user's cache."""
    cache = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "keyproof-tests"
    target = cache / f"chess-{RELEASE}" / "data"
    if not (target / "gaviota").is_dir():
        cache.mkdir(parents=True, exist_ok=True)
        archive = cache / f"chess-{RELEASE}.tar.gz"
        trouble = fetch(cache)
        if not archive.is_file():
            pytest.skip(f"chess {RELEASE} could not be fetched: {trouble}")
        with tarfile.open(archive) as package:
            package.extractall(cache, filter="data")
    return target
