"""The regular expressions of all modules in their compiled form, kept from one run to the next.

Compiling them took a third of the time of a check of one column. Python remembers what it has compiled in one
process; here that memory is filled at the start with what an earlier run has kept, so no module need know of it.
What is kept stands where Python keeps its compiled modules, and is as much to be trusted as they are. An expression
is found by its own text, so nothing in it can be out of date; what is missing or damaged is compiled as usual.
"""

import contextlib
import re
import sys
from pathlib import Path
from typing import Any

from .compiled import MATCHER, Form, compiled, restored
from .kept import load, save

_MOST = 706  # expressions that are kept
_ROOM = 1024  # expressions: Python remembers 512, which our modules would fill, and a text has some of its own

Key = tuple[str, int]
"""An expression and its flags."""

_kept: dict[Key, Form] = {}  # what was found at the start, in the order in which it was kept
_seen: set[str] = set()  # our modules whose expressions are kept


def recall() -> None:
    """Fill Python's memory of compiled expressions with what an earlier run has kept, if there is any."""
    if getattr(re, "_MAXCACHE", _ROOM) < _ROOM:
        re._MAXCACHE = _ROOM  # type: ignore[attr-defined]
    memory = _memory()
    found = None if memory is None else load(Path(__file__), MATCHER)
    if memory is None or found is None:
        return
    expressions, modules = found
    with contextlib.suppress(ValueError, RuntimeError):
        for pattern, flags, form in expressions:
            memory.setdefault((str, pattern, flags), restored(pattern, form))
            _kept[pattern, flags] = form
    _seen.update(modules)


def keep() -> None:
    """Keep for the next run what this one has compiled, if it has loaded other modules than those before."""
    memory = _memory()
    loaded = {name for name in sys.modules if name.startswith("keyproof.")}
    if memory is None or sys.dont_write_bytecode or loaded <= _seen:
        return
    if len(memory) >= _ROOM or "keyproof.grammar.building" in sys.modules:  # some were forgotten, or never come again
        return
    used = [(pattern, flags) for kind, pattern, flags in memory if kind is str]
    missing = [key for key in used if key not in _kept]
    if len(_kept) + len(missing) > _MOST:  # among them are some that earlier versions had
        _seen.clear()
        for key in _kept.keys() - set(used):
            del _kept[key]
    _kept.update((key, compiled(*key)) for key in missing[: _MOST - len(_kept)])
    _seen.update(loaded)
    save(Path(__file__), MATCHER, ([(*key, form) for key, form in _kept.items()], sorted(_seen)))


def _memory() -> dict[Any, re.Pattern[str]] | None:
    """Return where Python remembers what it has compiled; None where a version of it does that in another way."""
    memory = getattr(re, "_cache", None)
    return memory if isinstance(memory, dict) else None
