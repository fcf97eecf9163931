"""Nothing that a test does is kept outside its own folder."""

from pathlib import Path

import pytest


@pytest.fixture(autouse=True)
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder that this test's proofs are kept in."""
    folder = tmp_path / "kept"
    monkeypatch.setenv("KEYPROOF_CACHE", str(folder))
    return folder
