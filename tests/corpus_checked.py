"""The texts of corpus/, each checked once in a run: the processes of the run leave to one another what they found."""

import os
import pickle
from functools import cache
from hashlib import sha256
from pathlib import Path

from filelock import FileLock
from keyproof.linter import style
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_file
from keyproof.linter.results import FileResult
from keyproof.linter.sources import kind_of
from keyproof.rules.proof.prover import DEFAULT_EFFORT

CORPUS = Path(__file__).parents[1] / "corpus"
SHARED = "KEYPROOF_TESTS_SHARED"  # names the folder of this run; tests/conftest.py makes and removes it


def texts(folder: str = ".") -> list[Path]:
    """Return the texts below a folder of the corpus."""
    return sorted(path for path in (CORPUS / folder).rglob("*") if path.is_file() and kind_of(path.name) is not None)


def options(path: Path) -> Options:
    """Return the settings beside a text. The usual effort must do but for what is planted."""
    own = path.with_suffix(".toml")
    settings = style.load(own) if own.exists() else style.Settings()
    effort = 10 if path.parent.name == "faulty" else DEFAULT_EFFORT
    return Options(effort=effort, fresh=True, house=settings.house, levels=settings.levels, show_moves=True)


@cache
def checked(path: Path) -> FileResult:
    """Check one text, or take what another process of this run found in it."""
    found = Path(os.environ[SHARED]) / sha256(str(path).encode()).hexdigest()
    with FileLock(f"{found}.lock"):
        if found.exists():
            kept: FileResult = pickle.loads(found.read_bytes())
            return kept
        result = check_file(str(path), options(path))
        found.write_bytes(pickle.dumps(result))
        return result
