"""Files are written whole or not at all."""

import contextlib
import errno
import os
from collections.abc import Iterable, Sequence
from pathlib import Path


class NoTarget(ValueError):
    """A file must not be written where it was asked for; the message says why and what to do."""


def check_target(path: str, suffixes: Sequence[str], read: Iterable[str]) -> None:
    """Refuse to write to `path` unless it has one of the suffixes and is none of the files that are read.

    A shell puts file names in the place of "*.txt", so what follows an option may be anybody's text. "-" is
    standard output. NoTarget says what is wrong.
    """
    if path == "-":
        return
    if not path.lower().endswith(tuple(suffixes)):
        raise NoTarget(f"{path}: name a file that ends in {' or '.join(suffixes)}")
    for other in read:
        if os.path.exists(path) and os.path.exists(other) and os.path.samefile(path, other):
            raise NoTarget(f"{path} is read here and would be written over: give another name")


class Changed(Exception):
    """Somebody else has written the file since it was read."""


def write_whole(path: str | Path, data: bytes, before: bytes | None = None) -> None:
    """Put `data` in the place of a file, in one step; a reader sees the old or the new, never a part.

    The permissions of an existing file are kept, and a link stays a link. OSError as from `open`. Where the file
    should hold `before` until then and does not, nothing is written, and Changed is raised.
    """
    target = Path(os.path.realpath(path))
    if target.exists() and not target.is_file():  # a device or a pipe has no place to be put in
        with target.open("wb") as stream:
            stream.write(data)
        return
    if target.exists() and not os.access(target, os.W_OK):  # a new file in its place would pass over that
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(path))
    unfinished = target.with_name(f".{target.name[:100]}.{os.urandom(4).hex()}")
    try:
        with unfinished.open("xb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        if target.exists():
            unfinished.chmod(target.stat().st_mode & 0o7777)
        if before is not None and target.read_bytes() != before:  # as late as can be: no system has both in one step
            raise Changed
        unfinished.replace(target)
    except BaseException:
        with contextlib.suppress(OSError):
            unfinished.unlink()
        raise
