"""The parsers of the grammar files, with their tables kept between runs where a folder is given for them.

Building the tables takes longer than reading a column with them.
"""

import contextlib
import hashlib
import io
import os
import pickle
import sys
from functools import cache
from importlib.resources import files
from pathlib import Path

import lark
from lark import Lark

_folder: Path | None = None


def keep_in(folder: Path | None) -> None:
    """Keep tables in this folder from here on; None: build them anew in each process."""
    global _folder
    _folder = folder


@cache
def parser(name: str) -> Lark:
    """Return the LALR parser of the grammar file `name` of this package."""
    grammar = files("keyproof.grammar").joinpath(name).read_text(encoding="utf-8")
    path = None if _folder is None else _folder / _file_name(name, grammar)
    built = None if path is None else _load(path)
    if built is None:
        built = Lark(grammar, parser="lalr", lexer="basic", propagate_positions=False)
        if path is not None:
            _save(built, path, name)
    return built


def _file_name(name: str, grammar: str) -> str:
    maker = f"{lark.__version__} {sys.version_info[:2]} {grammar}"
    return f"{name}-{hashlib.sha256(maker.encode()).hexdigest()[:16]}.tables"


class _PlainData(pickle.Unpickler):
    """Reads numbers, texts and containers, and refuses whatever would run code."""

    def find_class(self, module: str, name: str) -> object:
        raise pickle.UnpicklingError(f"tables hold no {module}.{name}")


def _load(path: Path) -> Lark | None:
    try:
        data = path.read_bytes()
        _PlainData(io.BytesIO(data)).load()
        return Lark.load(io.BytesIO(data))
    except FileNotFoundError:
        return None
    except Exception:  # a damaged file may raise anything; it is written anew
        return None


def _save(built: Lark, path: Path, name: str) -> None:
    """Write a file whole or not at all: another process may be reading it. A folder that takes no file is no fault."""
    data = io.BytesIO()
    built.save(data)
    unfinished = path.with_name(f"{path.name}.{os.getpid()}")
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        unfinished.write_bytes(data.getvalue())
        unfinished.replace(path)
        for outdated in path.parent.glob(f"{name}-*.tables"):
            if outdated != path:
                outdated.unlink()
    except OSError:
        with contextlib.suppress(OSError):
            unfinished.unlink()
