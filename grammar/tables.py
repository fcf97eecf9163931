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
from .compiled import as_text, of_text
from .kept import digest_of, load, save, state_of

Plain = Any  # lists, dictionaries, texts, numbers and bytes

_HOME = Path(__file__).parent
_MAKERS = ("tables.py", "automaton.py", "building.py", "beginnings.py", "compiled.py")
"""The files, beside the grammar, that make the tables what they are."""


@cache
def grammar(name: str) -> Grammar:
    """Return the tables of the grammar file `name` of this package."""
    made_of = state_of(_files(name))
    kept = load(_HOME / name, made_of)
    if kept is None:
        kept = _shipped(name) or _plain(_written(name))
        save(_HOME / name, made_of, kept)
    return _grammar(*kept)


def _files(name: str) -> list[Path]:
    return [_HOME / each for each in (name, *_MAKERS)]


def _written(name: str) -> Plain:
    """Return the tables of a grammar file as JSON can write them."""
    from .building import build

    terminals, *others = build((_HOME / name).read_text(encoding="utf-8"))
    written = [(*each[:-1], as_text(each.form)) for each in terminals]
    return json.loads(json.dumps((written, *others)))


def _plain(written: Plain) -> Plain:
    terminals, *others = written
    return [(*each, of_text(form)) for *each, form in terminals], *others


def _shipped(name: str) -> Plain | None:
    """Return the tables in the file that came with a wheel, None where they are others' or damaged."""
    try:
        shipped = json.loads((_HOME / f"{name}.tables").read_bytes())
        return _plain(shipped["tables"]) if shipped["of"] == digest_of(_files(name)) else None
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
    for path in sorted(_HOME.glob("*.lark")):
        tables = {"of": digest_of(_files(path.name)), "tables": _written(path.name)}
        (folder / f"{path.name}.tables").write_text(json.dumps(tables, separators=(",", ":")), encoding="utf-8")


if __name__ == "__main__":
    write_all(Path(sys.argv[1]))
