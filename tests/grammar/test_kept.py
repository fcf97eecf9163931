"""What is kept between runs says what its sources say, and only costs time where it is missing or damaged."""

import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from keyproof.grammar import balance, kept
from keyproof.grammar.compiled import compiled, restored
from keyproof.grammar.lexicon import table
from keyproof.grammar.lexicon.tongues import TONGUES
from keyproof.linter import checking


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(sys, "pycache_prefix", str(tmp_path))
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    return tmp_path


def files(folder: Path) -> list[Path]:
    return [path for path in folder.rglob("*") if path.is_file()]


@pytest.mark.parametrize("language", TONGUES)
def test_a_table_of_words_is_kept_as_it_is_read(folder: Path, language: str) -> None:
    source = Path(table.__file__).with_name(f"{language}.txt")
    fresh, found = table.table_of.__wrapped__(language), table.table_of.__wrapped__(language)
    assert [path.suffix for path in files(folder)] == [".kept"]
    assert found == fresh == table.read_table(source.read_text(encoding="utf-8"))


def test_equal_parts_are_kept_as_one(folder: Path) -> None:
    value = {("".join(["a", "b"]), "c"): (1,), ("".join(["a", "b"]), "d"): (1 - 0,), ("e",): (True, 1.0)}
    kept.save(folder / "words.txt", "one", value)
    found = kept.load(folder / "words.txt", "one")
    one, other, mixed = found.values()
    (first, _), (second, _), _ = found
    assert found == value
    assert one is other
    assert first is second
    assert [type(each) for each in mixed] == [bool, float]


@pytest.mark.parametrize("damage", [b"", b"damaged", b"\xe9", None])
def test_what_is_damaged_or_of_another_source_counts_as_missing(folder: Path, damage: bytes | None) -> None:
    source = folder / "words.txt"
    kept.save(source, "one", {("a",): [1]})
    assert kept.load(source, "one") == {("a",): [1]}
    assert kept.load(source, "another") is None
    (file,) = files(folder)
    file.write_bytes(file.read_bytes()[:-3] if damage is None else damage)
    assert kept.load(source, "one") is None


def test_nothing_is_kept_where_python_keeps_nothing(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    kept.save(folder / "words.txt", "one", 1)
    assert files(folder) == []


def test_a_folder_that_takes_no_file_is_no_fault(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "file").write_text("")
    monkeypatch.setattr(sys, "pycache_prefix", str(tmp_path / "file"))
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    kept.save(tmp_path / "words.txt", "one", 1)
    assert kept.load(tmp_path / "words.txt", "one") is None


assert checking  # with all modules of a check the tests have the expressions of all
OURS = sorted(
    {
        (each.pattern, each.flags & ~re.UNICODE)
        for name, module in list(sys.modules.items())
        for each in vars(module).values()
        if name.startswith("keyproof.") and isinstance(each, re.Pattern) and isinstance(each.pattern, str)
    }
)


@pytest.mark.parametrize(("pattern", "flags"), OURS)
def test_an_expression_is_restored_as_python_compiles_it(pattern: str, flags: int) -> None:
    found, usual = restored(pattern, compiled(pattern, flags)), re.compile(pattern, flags)
    assert found == usual  # the library compares the compiled code (re.Pattern.__eq__)
    assert (found.flags, found.groups, found.groupindex) == (usual.flags, usual.groups, usual.groupindex)


PROGRAM = """
import re, sys
compiled = []
usual = re._compiler.compile
re._compiler.compile = lambda pattern, flags=0: compiled.append(pattern) or usual(pattern, flags)
from keyproof.linter.cli import cli
sys.argv = ["keyproof", "check", {column!r}]
try:
    cli.main(sys.argv[1:])
finally:
    print(len(compiled), file=sys.stderr)
"""


def run(program: str, folder: Path) -> Any:
    usual = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    environment = usual | {"PYTHONPYCACHEPREFIX": str(folder), "KEYPROOF_CACHE": ""}
    return subprocess.run([sys.executable, "-c", program], env=environment, capture_output=True, text=True, check=False)


def test_later_runs_say_the_same_and_compile_hardly_anything(tmp_path: Path) -> None:
    column = Path(__file__).parents[2] / "corpus" / "faulty" / "wednesday-draft.md"
    program = PROGRAM.format(column=str(column))
    # The first may build the tables of the grammars too, so that Python forgets some of what it has compiled.
    first, second, third = (run(program, tmp_path) for _ in range(3))
    assert (first.returncode, second.returncode, third.returncode) == (1, 1, 1)
    assert first.stdout == second.stdout == third.stdout
    assert int(first.stderr.split()[-1]) > 200
    assert int(third.stderr.split()[-1]) < 30  # of the standard library, and those made for a text


def test_the_words_that_count_men_are_kept_as_they_are_gathered(folder: Path) -> None:
    fresh, found = balance._vocabulary(), balance._vocabulary()
    assert found == fresh == balance._gathered()
    assert [list(each) for each in found[:2]] == [list(each) for each in fresh[:2]]  # in their order
    assert any("balance" in path.name for path in files(folder))


def test_a_later_run_reads_the_table_of_its_own_language_only(tmp_path: Path) -> None:
    column = Path(__file__).parents[2] / "corpus" / "demo" / "column-01.md"
    program = TABLES.format(column=str(column))
    told = [run(program, tmp_path).stdout.split() for _ in range(2)]
    assert len(told[0]) > 1
    assert told[1] == ["english.txt"]


TABLES = """
from pathlib import Path
from keyproof.grammar.lexicon import table
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_file
usual = table.load
table.load = lambda source, made_of: print(source.name) or usual(source, made_of)
assert not check_file({column!r}, Options()).error
"""

EXPRESSIONS = """
import json, re, sys
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_file
from keyproof.grammar import balance, coloured_men
assert not check_file(sys.argv[1], Options()).error
balance._words(), coloured_men._man()
ours = {each for _, each, _ in re._cache if isinstance(each, str) and not set("`~@") <= set(each)}
print(json.dumps(sorted(ours)))  # without the signs of markdown-it-py, a class in any order
"""


def test_an_expression_reads_the_same_in_each_run() -> None:
    """Else it would never be found among those that an earlier run has kept: sets have another order in each."""
    column = Path(__file__).parents[2] / "corpus" / "demo" / "column-01.md"
    told = {
        subprocess.run(
            [sys.executable, "-c", EXPRESSIONS, str(column)],
            capture_output=True,
            check=True,
            env=os.environ | {"PYTHONHASHSEED": seed},
        ).stdout
        for seed in ("1", "2", "3")
    }
    assert len(told) == 1
