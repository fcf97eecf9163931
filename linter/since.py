"""Which files git says have changed since a revision."""

import os
import subprocess
from collections.abc import Iterable, Iterator
from functools import cache

from .results import FileResult


class NoHistory(ValueError):
    """Git cannot tell what has changed; the message says why."""


def changed_since(revision: str, found: Iterable[str | FileResult]) -> Iterator[str | FileResult]:
    """Yield the paths that differ from a revision, or that git does not know yet; errors as they are.

    NoHistory where a path is in no repository, or the repository has no such revision.
    """
    for path in found:
        if isinstance(path, FileResult) or os.path.realpath(path) in _changed(
            _root(os.path.dirname(os.path.realpath(path))), revision
        ):
            yield path


@cache
def _root(folder: str) -> str:
    return os.path.realpath(_git(folder, "rev-parse", "--show-toplevel").rstrip("\n"))


@cache
def _changed(root: str, revision: str) -> frozenset[str]:
    commit = _git(root, "rev-parse", "--verify", "--end-of-options", f"{revision}^{{commit}}").strip()
    differ = _git(root, "diff", "--name-only", "-z", "--no-renames", "--diff-filter=d", commit, "--")
    new = _git(root, "ls-files", "--others", "--exclude-standard", "-z")
    return frozenset(os.path.realpath(os.path.join(root, name)) for name in (differ + new).split("\0") if name)


def _git(folder: str, *words: str) -> str:
    try:
        done = subprocess.run(
            ["git", "-C", folder, *words], capture_output=True, encoding="utf-8", errors="surrogateescape", check=False
        )
    except OSError as fault:
        raise NoHistory(f"git is needed to tell what has changed: {fault.strerror or fault}") from None
    if done.returncode:
        said = done.stderr.strip().splitlines()
        raise NoHistory(f"git cannot tell what has changed in {folder}: {said[-1] if said else 'it says nothing'}")
    return done.stdout
