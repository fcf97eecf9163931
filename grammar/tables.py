"""The tables of the grammar files: their terminals, and what their parsers do in each state, as plain values.

Building them with lark takes longer than reading a column with them, so they are built once and kept in a file:
a wheel holds them beside the grammar files, as JSON, and where these are newer (as after a change in a checkout)
they are built anew. Either way they are kept where Python keeps its compiled modules (kept.py), which are read in a
third of the time.

    python -m keyproof.grammar.tables FOLDER

writes the tables of all grammar files into a folder, as the build of a wheel does.
"""

import json
import sys
from functools import cache
from pathlib import Path
from typing import Any

from .automaton import Grammar, Rule, Terminal
from .kept import digest_of, load, save

Plain = Any  # lists, dictionaries, texts and numbers, as JSON has them

_HOME = Path(__file__).parent
_MAKERS = ("tables.py", "automaton.py", "building.py", "beginnings.py", "compiled.py")
"""The files, beside the grammar, that make the tables what they are."""


@cache
def grammar(name: str) -> Grammar:
    """Return the tables of the grammar file `name` of this package."""
    made_of = _digest(name)
    kept = load(_HOME / name, made_of)
    if kept is None:
        kept = _shipped(_HOME / f"{name}.tables", made_of) or _built(name)
        save(_HOME / name, made_of, kept)
    return _grammar(*kept)


def _digest(name: str) -> str:
    return digest_of(map(_HOME.joinpath, (name, *_MAKERS)))


def _built(name: str) -> Plain:
    from .building import build

    plain: Plain = json.loads(json.dumps(build((_HOME / name).read_text(encoding="utf-8"))))
    return plain


def _shipped(path: Path, made_of: str) -> Plain | None:
    """Return the tables in a file that came with a wheel, None where they are others' or damaged."""
    try:
        kept = json.loads(path.read_bytes())
        plain: Plain = kept["tables"]
        return plain if kept["of"] == made_of else None
    except (OSError, ValueError, TypeError, KeyError):
        return None


def _grammar(
    terminals: Plain, ignored: Plain, asides: Plain, rules: Plain, states: Plain, start: int, end: int, made_by: str
) -> Grammar:
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


def write_all(folder: Path) -> None:
    """Write the tables of all grammar files of this package into a folder."""
    from .building import build

    for path in sorted(_HOME.glob("*.lark")):
        tables = {"of": _digest(path.name), "tables": build(path.read_text(encoding="utf-8"))}
        (folder / f"{path.name}.tables").write_text(json.dumps(tables, separators=(",", ":")), encoding="utf-8")


if __name__ == "__main__":
    write_all(Path(sys.argv[1]))
