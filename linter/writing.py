"""Files are written whole or not at all."""

import contextlib
import errno
import os
import secrets
from pathlib import Path


def write_whole(path: str | Path, data: bytes) -> None:
    """Put `data` in the place of a file, in one step; a reader sees the old or the new, never a part.

    The permissions of an existing file are kept, and a link stays a link. OSError as from `open`.
    """
    target = Path(os.path.realpath(path))
    if target.exists() and not target.is_file():  # a device or a pipe has no place to be put in
        with target.open("wb") as stream:
            stream.write(data)
        return
    if target.exists() and not os.access(target, os.W_OK):  # a new file in its place would pass over that
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(path))
    unfinished = target.with_name(f".{target.name[:100]}.{secrets.token_hex(4)}")
    try:
        with unfinished.open("xb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        if target.exists():
            unfinished.chmod(target.stat().st_mode & 0o7777)
        unfinished.replace(target)
    except BaseException:
        with contextlib.suppress(OSError):
            unfinished.unlink()
        raise
