"""Which files the paths of the command line stand for."""

import os
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from .ignored import Git, LeftOut
from .kinds import KINDS
from .results import FileResult
from .sources import STANDARD_INPUT, kind_of

if TYPE_CHECKING:
    from .style import Settings


def walk(paths: Sequence[str], settings: "Settings | None" = None) -> Iterator[str | FileResult]:
    """Yield the path of every file to read, each once, and a result with `error` for what cannot be walked.

    Below a folder these are the files of a kind that some reader knows, in sorted
    order; hidden ones, links to folders, and what git ignores are passed over. What the settings
    leave out is passed over even if it is named.
    """
    left_out = LeftOut(settings)
    seen: set[str] = set()
    for path in paths:
        if path != STANDARD_INPUT and left_out.leaves_out(path, is_folder=os.path.isdir(path)):
            continue
        for found in _below(path, left_out) if os.path.isdir(path) else _single(path):
            name = found if isinstance(found, str) else found.path
            if name not in seen:
                seen.add(name)
                yield found


def _single(path: str) -> Iterator[str | FileResult]:
    if path == STANDARD_INPUT or os.path.exists(path):
        yield path
    elif os.path.islink(path):
        yield FileResult(path, error="the link leads nowhere")
    else:
        yield FileResult(path, error="there is no such file or folder")


def _below(folder: str, left_out: LeftOut) -> Iterator[str | FileResult]:
    refused: list[OSError] = []
    empty, ignored = True, False
    git = Git(Path(os.path.abspath(folder)))

    def kept(here: str, name: str, *, is_folder: bool) -> bool:
        nonlocal ignored
        path = os.path.join(here, name)
        if name.startswith("."):
            return False
        passed_over = left_out.leaves_out(path, is_folder=is_folder) or git.ignores(
            Path(os.path.abspath(path)), is_folder=is_folder
        )
        ignored = ignored or passed_over
        return not passed_over

    for here, folders, names in os.walk(folder, onerror=refused.append):
        folders[:] = [name for name in sorted(folders) if kept(here, name, is_folder=True)]
        for name in sorted(names):
            if kind_of(name) is not None and kept(here, name, is_folder=False):
                empty = False
                yield os.path.join(here, name)
    for error in refused:
        yield FileResult(os.fsdecode(error.filename), error=f"the folder cannot be read: {error.strerror}")
    if empty and not refused:
        *others, last = KINDS
        listed = f"{', '.join(others)} or {last}"
        besides = " besides what git ignores or the settings leave out" if ignored else ""
        yield FileResult(folder, error=f"nothing to check: the folder holds no {listed} file{besides}")
