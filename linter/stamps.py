"""What stands for all that the result of a file was made of: with the same, a later run would come to the same."""

import contextlib
import hashlib

from .choices import path_beside
from .companion import beside


def made_of(path: str, data: bytes) -> str:
    """Return a digest of the bytes of a file, and of the files beside it that tell its positions and its readings."""
    digest = hashlib.sha256(data)
    for other in (beside(path), path_beside(path)):
        digest.update(content(other))
    return digest.hexdigest()[:32]


def content(path: str | None) -> bytes:
    """Return a digest of what a file holds, the same for every file that cannot be read, b"" for none."""
    if path is None:
        return b""
    with contextlib.suppress(OSError), open(path, "rb") as stream:
        return hashlib.file_digest(stream, "sha256").digest()
    return bytes(32)
