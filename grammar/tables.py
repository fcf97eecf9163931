"""The tables of the grammar files: their terminals, and what their parsers do in each state, as plain values.

Building them with lark takes longer than reading a column with them, so they are built once and kept in a file:
a wheel holds them beside the grammar files, and where these are newer (as after a change in a checkout) they are
built anew and kept where Python keeps its compiled modules. What is kept says of what it was made; it is JSON,
which runs no code, and a damaged file is built anew.

    python -m keyproof.grammar.tables FOLDER

writes the tables of all grammar files into a folder, as the build of a wheel does.
"""

import contextlib
import hashlib
import json
import os
import sys
from functools import cache
from importlib.util import cache_from_source
from pathlib import Path

from .automaton import Grammar, Rule, Terminal

_HOME = Path(__file__).parent
_MAKERS = ("tables.py", "automaton.py", "building.py", "beginnings.py", "compiled.py")
"""The files, beside the grammar, that make the tables what they are."""


@cache
def grammar(name: str) -> Grammar:
    """Return the tables of the grammar file `name` of this package."""
    made_of = _digest(name)
    ours = Path(cache_from_source(str(_HOME / name))).parent / f"{name}.tables"
    for path in (_HOME / f"{name}.tables", ours):
        found = _load(path, made_of)
        if found is not None:
            return found
    from .building import build

    built = build((_HOME / name).read_text(encoding="utf-8"))
    if not sys.dont_write_bytecode:
        _save(built, ours, made_of)
    return built


def _digest(name: str) -> str:
    digest = hashlib.sha256()
    for maker in (name, *_MAKERS):
        digest.update((_HOME / maker).read_bytes())
    return digest.hexdigest()


def _load(path: Path, made_of: str) -> Grammar | None:
    """Return the tables kept in a file, None where they are others' or damaged."""
    try:
        kept = json.loads(path.read_bytes())
        if kept["of"] != made_of:
            return None
        terminals, ignored, asides, rules, states, start, end, made_by = kept["tables"]
        return Grammar(
            [Terminal(*each) for each in terminals],
            ignored,
            asides,
            [
                Rule(origin, length, part, [(at, inner) for at, inner in stay], lone)
                for origin, length, part, stay, lone in rules
            ],
            states,
            start,
            end,
            made_by,
        )
    except (OSError, ValueError, TypeError, KeyError):
        return None


def _save(built: Grammar, path: Path, made_of: str) -> None:
    """Write a file whole or not at all: another process may be reading it. A folder that takes no file is no fault."""
    unfinished = path.with_name(f"{path.name}.{os.getpid()}")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        unfinished.write_text(json.dumps({"of": made_of, "tables": built}, separators=(",", ":")), encoding="utf-8")
        unfinished.replace(path)
    except OSError:
        with contextlib.suppress(OSError):
            unfinished.unlink()


def write_all(folder: Path) -> None:
    """Write the tables of all grammar files of this package into a folder."""
    from .building import build

    for path in sorted(_HOME.glob("*.lark")):
        _save(build(path.read_text(encoding="utf-8")), folder / f"{path.name}.tables", _digest(path.name))


if __name__ == "__main__":
    write_all(Path(sys.argv[1]))
