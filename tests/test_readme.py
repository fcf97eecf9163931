"""What the README shows is what happens: its commands are run, its answers compared."""

import contextlib
import os
import re
import shlex
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from keyproof.linter.cli import cli

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")

_BLOCK = re.compile(r"^```(?P<kind>sh|text)\n(?P<body>.*?)^```$", re.M | re.S)
_FINDING = re.compile(r"(?P<path>corpus/[^:,\s]+)[:,]")


def commands() -> Iterator[str]:
    """Yield the commands of the console examples that call keyproof."""
    for block in _BLOCK.finditer(README):
        if block["kind"] == "sh":
            for line in block["body"].splitlines():
                for command in line.split("&&"):
                    words = shlex.split(command, comments=True)
                    if words and Path(words[0]).name == "keyproof":
                        yield command.strip()


def answers() -> Iterator[tuple[str, str]]:
    """Yield each printed answer about a file of the corpus, with the arguments that get it.

    These are those of the last command above that names the file, or just that file.
    """
    named: dict[str, str] = {}
    for block in _BLOCK.finditer(README):
        if block["kind"] == "sh":
            for command in re.findall(r"keyproof (check .*)$", block["body"], re.M):
                named.update((word, command) for word in shlex.split(command) if word.startswith("corpus/"))
        elif (path := _FINDING.match(block["body"])) is not None:
            yield named.get(path["path"], f"check {path['path']}"), block["body"]


@cache
def run(*arguments: str) -> Result:
    """Run the command in this process, from the top of the checkout."""
    with contextlib.chdir(ROOT):
        return CliRunner().invoke(cli, arguments, prog_name="keyproof")


@pytest.mark.parametrize("command", list(commands()))
def test_each_command_works(command: str) -> None:
    done = run(*shlex.split(command, comments=True)[1:])
    assert done.exit_code in (0, 1), done.stderr
    assert done.stdout
    assert "error:" not in done.stderr


@pytest.mark.parametrize(("command", "answer"), list(answers()))
def test_each_answer_is_printed(command: str, answer: str) -> None:
    """Lines may be left out, but those that are shown stand in this order."""
    printed = iter(run(*shlex.split(command), "--bar", "note").stdout.splitlines())
    for line in answer.splitlines():
        assert line in printed, line


def test_a_command_in_a_process_of_its_own_says_the_same() -> None:
    arguments = shlex.split(next(commands()), comments=True)[1:]
    done = subprocess.run(
        [sys.executable, "-m", "keyproof.linter", *arguments],
        cwd=ROOT,
        env=os.environ | {"PYTHONUTF8": "1"},
        capture_output=True,
        encoding="utf-8",
    )
    here = run(*arguments)
    assert (done.returncode, done.stdout, done.stderr) == (here.exit_code, here.stdout, here.stderr)


def test_there_is_something_to_see() -> None:
    assert len(list(commands())) >= 3
    assert len(list(answers())) >= 2
