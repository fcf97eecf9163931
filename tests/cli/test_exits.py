"""The table of exit statuses, and that every way to misuse the command ends in one line and not a traceback."""

import re
from pathlib import Path

import pytest
from keyproof.linter.exits import Exit

from .conftest import FAULTY, FEN, SOUND, STRANGE, Keyproof, Process


def test_the_table_is_frozen() -> None:
    # 128 + signal number: POSIX shells' way to report SIGINT (2) and SIGPIPE (13); the others are our own contract.
    assert {name: int(value) for name, value in Exit.__members__.items()} == {
        "clean": 0,
        "not_understood": 3,
        "findings": 1,
        "unreadable": 2,
        "interrupted": 130,
        "broken_pipe": 141,
    }


@pytest.fixture
def files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("sound.txt").write_text(SOUND)
    Path("faulty.txt").write_text(FAULTY)
    Path("binary.txt").write_bytes(b"\xff\xfe\x00")
    Path("empty").mkdir()
    Path("strange.txt").write_text(STRANGE)


@pytest.mark.usefixtures("files")
@pytest.mark.parametrize(
    ("arguments", "status"),
    [
        (["check", "sound.txt"], Exit.clean),
        (["check", "strange.txt"], Exit.not_understood),
        (["check", "sound.txt", "strange.txt"], Exit.not_understood),
        (["check", "strange.txt", "faulty.txt"], Exit.findings),
        (["check", "strange.txt", "binary.txt"], Exit.unreadable),
        (["check", "faulty.txt"], Exit.findings),
        (["check", "--as", "json", "faulty.txt"], Exit.findings),
        (["check", "sound.txt", "faulty.txt"], Exit.findings),
        (["check", "binary.txt"], Exit.unreadable),
        (["check", "faulty.txt", "binary.txt"], Exit.unreadable),
        (["check", "binary.txt", "faulty.txt"], Exit.unreadable),
        (["check", "missing.txt"], Exit.unreadable),
        (["check", "empty"], Exit.unreadable),
        (["check"], Exit.unreadable),
        (["check", "--as", "xml", "sound.txt"], Exit.unreadable),
        (["check", "--bar", "fatal", "sound.txt"], Exit.unreadable),
        (["check", "--effort", "0", "sound.txt"], Exit.unreadable),
        (["check", "--effort", "-1", "sound.txt"], Exit.unreadable),
        (["check", "--effort", "nan", "sound.txt"], Exit.unreadable),
        (["check", "--effort", "inf", "sound.txt"], Exit.unreadable),
        (["check", "--effort", "much", "sound.txt"], Exit.unreadable),
        (["check", "--jobs", "0", "sound.txt"], Exit.unreadable),
        (["check", "--unknown", "sound.txt"], Exit.unreadable),
        (["prove", FEN, "--stipulation", "#2"], Exit.clean),
        (["prove", FEN, "--stipulation", "#1"], Exit.findings),
        (["prove", FEN], Exit.unreadable),
        (["prove", FEN, "--stipulation", "2#"], Exit.unreadable),
        (["prove", "sound.txt"], Exit.clean),
        (["prove", "binary.txt"], Exit.unreadable),
        (["prove", "missing.txt"], Exit.unreadable),
        (["prove", "empty"], Exit.unreadable),
        (["explain"], Exit.clean),
        (["explain", "check-not-mate"], Exit.clean),
        (["explain", "no-such-rule"], Exit.unreadable),
        (["unknown"], Exit.unreadable),
        ([], Exit.unreadable),
        (["--help"], Exit.clean),
        (["--version"], Exit.clean),
        (["check", "--help"], Exit.clean),
    ],
)
def test_every_way_out(keyproof: Keyproof, arguments: list[str], status: Exit) -> None:
    result = keyproof(*arguments)
    assert result.exit_code == status, result.output
    assert "Traceback" not in result.output
    assert "itself failed" not in result.output
    if status is Exit.unreadable:
        assert result.stderr


@pytest.mark.usefixtures("files")
def test_the_bar_decides_between_clean_and_findings(keyproof: Keyproof, monkeypatch: pytest.MonkeyPatch) -> None:
    from keyproof.grammar.spans import Span
    from keyproof.linter import pipeline
    from keyproof.linter.results import FileResult, PlacedFinding
    from keyproof.rules.finding import Finding, Level

    expected = {
        Level.note: {"error": 0, "warning": 0, "note": 1},
        Level.warning: {"error": 0, "warning": 1, "note": 1},
        Level.error: {"error": 1, "warning": 1, "note": 1},
    }
    for level, statuses in expected.items():
        finding = PlacedFinding(Finding("some-rule", level, Span(0, 1), "said"), None)
        monkeypatch.setattr(
            pipeline, "check_file", lambda path, options, told, f=finding: FileResult(path, "text", findings=(f,))
        )
        assert {bar: keyproof("check", "--bar", bar, "sound.txt").exit_code for bar in statuses} == statuses
        assert keyproof("check", "sound.txt").exit_code == statuses["warning"]


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["check", "--as", "xml", "x"], "invalid value for '--as': 'xml' is not one of 'text', 'json'"),
        (["check"], "missing argument 'PATH...'"),
        (["prove", "hello"], "neither a file nor a position: 'hello'"),
        (["prove", FEN], "add --stipulation"),
        (["prove", FEN, "--stipulation", "mate"], "not a stipulation: 'mate'"),
        (["explain", "check-not-mat"], "nearest: check-not-mate"),
    ],
)
def test_misuse_is_one_line_in_the_gnu_form(keyproof: Keyproof, arguments: list[str], message: str) -> None:
    # GNU Coding Standards 4.4: "program: message", which neither starts with a capital nor ends with a full stop.
    result = keyproof(*arguments)
    first = result.stderr.splitlines()[0]
    assert message in first
    assert re.match(r"keyproof: error: [^A-Z].*[^.]$", first), first
    assert result.stdout == ""


def test_an_own_fault_is_ours_and_the_run_goes_on(
    keyproof: Keyproof, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from keyproof.linter import pipeline

    real = pipeline.check_file

    def failing(path: str, options: object, told: object) -> object:
        if "bad" in path:
            raise KeyError("a\nkey")
        return real(path, options)

    monkeypatch.setattr(pipeline, "check_file", failing)
    monkeypatch.chdir(tmp_path)
    Path("bad.txt").write_text(SOUND)
    Path("good.txt").write_text(FAULTY)
    result = keyproof("check", "bad.txt", "good.txt")
    assert result.exit_code == Exit.unreadable
    (line,) = result.stderr.splitlines()
    assert line.startswith("bad.txt:1:1: error: keyproof itself failed on this file, please report: KeyError: ")
    assert line.endswith(f"({Path(__file__).name}:{failing.__code__.co_firstlineno + 2})")
    assert "good.txt:4:" in result.stdout


def test_a_fault_outside_any_file_is_ours_too(keyproof: Keyproof, monkeypatch: pytest.MonkeyPatch) -> None:
    from keyproof.linter import pages

    def failing() -> None:
        raise LookupError("lost")

    monkeypatch.setattr(pages, "pages", failing)
    result = keyproof("explain")
    assert result.exit_code == Exit.unreadable
    assert result.stderr.startswith("keyproof: error: keyproof itself failed, please report: LookupError: lost (")


def test_the_module_runs_as_the_command_does(process: Process) -> None:
    from importlib.metadata import version

    assert process("--version").stdout == f"keyproof {version('keyproof')}\n"
    assert process("check", "missing.txt").returncode == Exit.unreadable
