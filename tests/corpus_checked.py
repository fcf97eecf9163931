"""The texts of corpus/, each checked once in a run: the tests that share what was found run in one process."""

from functools import cache
from pathlib import Path

from keyproof.linter import style
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_file
from keyproof.linter.results import FileResult
from keyproof.linter.sources import kind_of
from keyproof.rules.proof.prover import DEFAULT_EFFORT

CORPUS = Path(__file__).parents[1] / "corpus"


def texts(folder: str = ".") -> list[Path]:
    """Return the texts below a folder of the corpus."""
    return sorted(path for path in (CORPUS / folder).rglob("*") if path.is_file() and kind_of(path.name) is not None)


def options(path: Path) -> Options:
    """Return the settings beside a text. The usual effort must do but for what is planted."""
    own = path.with_suffix(".toml")
    settings = style.load(own) if own.exists() else style.Settings()
    effort = 10 if path.parent.name == "faulty" else DEFAULT_EFFORT
    return Options(effort=effort, fresh=True, house=settings.house, levels=settings.levels)


@cache
def checked(path: Path) -> FileResult:
    """Check one text."""
    return check_file(str(path), options(path))
