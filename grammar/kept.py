"""What takes long to make out of files of this package, kept from one run to the next beside Python's compiled modules.

It is as much to be trusted as they are, belongs to one version of Python as they do, and says of what it was made:
what was made of something else, or is damaged, counts as missing. Where Python keeps no modules, nothing is kept.
"""

import contextlib
import hashlib
import marshal
import os
import sys
from collections.abc import Callable, Iterable
from importlib.util import cache_from_source
from pathlib import Path
from typing import Any, TypeVar

Made = TypeVar("Made")


def digest_of(files: Iterable[Path]) -> str:
    """Return a sign for the contents of some files."""
    digest = hashlib.sha256()
    for file in files:
        digest.update(file.read_bytes())
    return digest.hexdigest()


def state_of(files: Iterable[Path]) -> str:
    """Return a sign for the state of some files here: their sizes and when they were changed, as Python takes them."""
    found = [file.stat() for file in files]
    return " ".join([f"{each.st_size}.{each.st_mtime_ns}" for each in found])


def load(source: Path, made_of: str) -> Any:
    """Return what is kept of a file under this sign, None where there is nothing."""
    with contextlib.suppress(OSError, EOFError, ValueError, TypeError):
        sign, kept = marshal.loads(_place(source).read_bytes())
        if sign == made_of:
            return kept
    return None


def save(source: Path, made_of: str, value: Any) -> None:
    """Keep plain values of a file, whole or not at all: another process may be reading them.

    A folder that takes no file is no fault.
    """
    if sys.dont_write_bytecode:
        return
    path = _place(source)
    unfinished = path.with_name(f"{path.name}.{os.getpid()}")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        unfinished.write_bytes(marshal.dumps((made_of, _shared(value, {}))))
        unfinished.replace(path)
    except OSError:
        with contextlib.suppress(OSError):
            unfinished.unlink()


def _shared(value: Any, known: dict[Any, Any]) -> Any:
    """Return a value in which equal strings and tuples are one: they are written, and read, but once."""
    match value:
        case str():
            return known.setdefault(value, value)
        case tuple():
            parts = tuple([_shared(each, known) for each in value])
            return known.setdefault(marshal.dumps(parts, 0), parts)  # by their bytes: (1,) equals (True,)
        case list():
            return [_shared(each, known) for each in value]
        case dict():
            return {_shared(key, known): _shared(each, known) for key, each in value.items()}
        case set():
            return {_shared(each, known) for each in value}
    return value


def made_of(source: Path, files: Iterable[Path], make: Callable[[], Made]) -> Made:
    """Return what is kept of a module that makes plain values out of some files, made anew where one has changed."""
    sign = state_of([source, *files])
    kept: Made | None = load(source, sign)
    if kept is None:
        kept = make()
        save(source, sign, kept)
    return kept


def _place(source: Path) -> Path:
    return Path(cache_from_source(str(source))).with_suffix(".kept")
