"""Which files are checked: .gitignore, settings, standard input, kinds. Patterns: gitignore manual page."""

import importlib
import re
import shutil
import subprocess
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from keyproof.linter.cli import cli
from keyproof.linter.files import walk
from keyproof.linter.kinds import KINDS, MANUSCRIPTS, READ_AS
from keyproof.linter.results import FileResult
from keyproof.linter.style import Settings

from .texts import COLUMN, FAULTY, FEN

FILES = (
    "a.md",
    "drafts/b.md",
    "drafts/keep.md",
    "deep/drafts/c.md",
    "deep/d.old.md",
    "deep/er/e.md",
    "build/f.md",
    "notes.txt",
)


@pytest.fixture
def repository(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    root = tmp_path / "repository"
    for name in FILES:
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).write_text(COLUMN, encoding="utf-8")
    subprocess.run(["git", "init", "-q", str(root)], check=True)
    monkeypatch.chdir(root)
    return root


def names(*paths: str, settings: Settings | None = None) -> set[str]:
    found = list(walk(paths, settings))
    assert all(isinstance(each, str) for each in found), found
    return {str(each).removeprefix("./") for each in found}


@pytest.mark.skipif(shutil.which("git") is None, reason="git is not installed")
@pytest.mark.parametrize(
    "lists",
    [
        {".gitignore": "drafts/\n"},
        {".gitignore": "/drafts/*\n!keep.md\n"},
        {".gitignore": "*.old.md\nbuild\n"},
        {".gitignore": "# nothing\n\n"},
        {".gitignore": "*.md\n", "deep/.gitignore": "!*.md\n"},
        {"deep/.gitignore": "er/\n"},
        {".git/info/exclude": "notes.txt\n"},
        {".gitignore": "deep/**/c.md\n"},
        {".gitignore": "!a.md\n", ".git/info/exclude": "*.md\n"},
    ],
)
def test_a_walk_passes_over_what_git_ignores(repository: Path, lists: dict[str, str]) -> None:
    """git itself says which files are ignored."""
    for name, content in lists.items():
        (repository / name).write_text(content)
    listed = subprocess.run(
        ["git", "ls-files", "--others", "--exclude-standard"], capture_output=True, text=True, check=True
    )
    expected = {name for name in listed.stdout.splitlines() if name.endswith((".md", ".txt"))}
    assert names(".") == expected
    below = {name for name in expected if name.startswith("deep/")}
    if below:
        assert names("deep") == below
    else:
        (refused,) = walk(["deep"])
        assert isinstance(refused, FileResult)
        assert str(refused.error).endswith("file besides what git ignores or the settings leave out")


def test_a_named_file_is_checked_though_git_ignores_it(repository: Path) -> None:
    (repository / ".gitignore").write_text("drafts/\n")
    assert names("drafts/b.md") == {"drafts/b.md"}


def test_settings_leave_out_what_is_named_too(repository: Path) -> None:
    settings = Settings(left_out=("drafts/", "*.old.md"), folder=repository)
    assert names(".", settings=settings) == {"a.md", "deep/er/e.md", "build/f.md", "notes.txt"}
    assert names("drafts/b.md", "a.md", settings=settings) == {"a.md"}


def run(*arguments: str, stdin: str | bytes = "") -> Result:
    return CliRunner().invoke(cli, ["check", *arguments], input=stdin)


def test_standard_input_has_a_name_and_its_kind() -> None:
    result = run("-", "--name", "columns/7.md", stdin=FAULTY)
    assert result.exit_code == 1
    assert "\ncolumns/7.md:7:" in result.stdout
    result = run("-", "--reading-as", "markdown", stdin=FAULTY)
    assert "\nstandard input:7:" in result.stdout


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["-", "a.md"], "keyproof: error: standard input is checked alone: '-' takes no other path beside it\n"),
        (["a.md", "--name", "b.md"], "keyproof: error: --name is for standard input: give '-' as the path\n"),
        (["-", "--name", "a.xls"], "a.xls:1:1: error: unknown kind of file '.xls'; known are "),
    ],
)
def test_standard_input_misused(arguments: list[str], message: str) -> None:
    result = run(*arguments)
    assert result.exit_code == 2
    assert result.stderr.startswith(message)


def test_standard_input_that_is_no_text() -> None:
    result = run("-", "--name", "a.md", stdin=b"\xff\xfea")
    assert result.stderr.startswith("a.md:1:1: error: the file begins as UTF-16, but the bytes at offset 2 are not")


@pytest.mark.parametrize(
    ("text", "kind", "place"),
    [
        (FAULTY, "markdown", "7:"),
        (f"No. 2\n{FEN}\nMate in two.\n1.Kg2! Kh4 2.Re3#\n", "text", "4:"),
        (f'[SetUp "1"]\n[FEN "{FEN}"]\n\n1. Kg2 Kh4 2. Re4+ Kh5 *\n', "pgn", "4:"),
        ("WEBVTT\n\n00:01.000 --> 00:09.000\n" + f"{FEN}\nmate in two. The key is Kg2. If Kh4 then Re3 is mate.\n",
         "captions", "5:"),
        ("8/8/4N3/4R2p/6k1/8/5K2/8 w - - bm Kg3; dm 2;\n", "epd", "1:"),
    ],
)  # fmt: skip
def test_the_kind_of_standard_input_is_guessed_and_said(text: str, kind: str, place: str) -> None:
    result = run("-", stdin=text)
    assert f"standard input:1:1: note: read as {kind}, as it seems to be" in result.stdout
    assert f"\nstandard input:{place}" in result.stdout
    repaired = run("-", "--repair", stdin=text)
    assert "Traceback" not in repaired.output


@pytest.mark.parametrize("suffix", [".doc", ".PAGES"])
def test_files_of_word_processors_say_what_to_do(tmp_path: Path, suffix: str) -> None:
    column = tmp_path / f"column{suffix}"
    column.write_bytes(b"PK")
    result = run(str(column))
    assert result.exit_code == 2
    assert f"a {suffix} file is not plain text: save a copy as .docx, .odt or text in UTF-8" in result.stderr


def test_every_kind_can_be_asked_for() -> None:
    assert set(READ_AS) == set(KINDS.values())


@pytest.mark.parametrize("kind", sorted(set(READ_AS) - MANUSCRIPTS))
def test_every_kind_that_is_text_has_a_reader(kind: str) -> None:
    assert callable(importlib.import_module(f"keyproof.linter.readers.{kind}").read)


def test_the_hook_is_run_on_all_that_is_text() -> None:
    hook = (Path(__file__).parents[2] / ".pre-commit-hooks.yaml").read_text(encoding="utf-8")
    files = re.compile(re.search(r"files: (.*)", hook)[1])  # type: ignore[index]
    assert all((files.search(f"a{ending}") is not None) == (kind not in MANUSCRIPTS) for ending, kind in KINDS.items())


def test_a_file_is_read_as_the_kind_that_is_asked_for(tmp_path: Path) -> None:
    (tmp_path / "a.column").write_text(COLUMN, encoding="utf-8")
    assert run(str(tmp_path / "a.column")).exit_code == 2
    assert run(str(tmp_path / "a.column"), "--reading-as", "markdown").exit_code == 0
