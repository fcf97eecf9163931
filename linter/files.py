"""Which files the paths of the command line stand for."""

import os
from collections.abc import Iterator, Sequence

from .results import FileResult
from .sources import KINDS, kind_of


def walk(paths: Sequence[str]) -> Iterator[str | FileResult]:
    """Yield the path of every file to read, each once, and a result with `error` for what cannot be walked.

    Below a folder these are the files of a kind that some reader knows, in sorted
    order, hidden ones and links to folders left out.
    """
    seen: set[str] = set()
    for path in paths:
        for found in _below(path) if os.path.isdir(path) else _single(path):
            name = found if isinstance(found, str) else found.path
            if name not in seen:
                seen.add(name)
                yield found


def _single(path: str) -> Iterator[str | FileResult]:
    if os.path.exists(path):
        yield path
    elif os.path.islink(path):
        yield FileResult(path, error="the link leads nowhere")
    else:
        yield FileResult(path, error="there is no such file or folder")


def _below(folder: str) -> Iterator[str | FileResult]:
    refused: list[OSError] = []
    empty = True
    for here, folders, names in os.walk(folder, onerror=refused.append):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(names):
            if kind_of(name) is not None and not name.startswith("."):
                empty = False
                yield os.path.join(here, name)
    for error in refused:
        yield FileResult(os.fsdecode(error.filename), error=f"the folder cannot be read: {error.strerror}")
    if empty and not refused:
        *others, last = KINDS
        listed = f"{', '.join(others)} or {last}"
        yield FileResult(folder, error=f"nothing to check: the folder holds no {listed} file")
