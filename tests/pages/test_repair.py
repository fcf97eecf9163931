"""Repairs: what is changed, what is left byte for byte, and that nothing is written by halves."""

import os
import shutil
import stat
import subprocess
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from corpus_checked import checked, texts
from hypothesis import given
from hypothesis import strategies as st
from keyproof.grammar.spans import Span
from keyproof.linter import repair
from keyproof.linter.cli import cli
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_file, check_text
from keyproof.linter.writing import write_whole
from keyproof.rules.finding import Edit

pytestmark = pytest.mark.kernel

FEN = "8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1"
HEAD = f"FEN: {FEN}\nMate in two.\n"


def run(*arguments: str) -> Result:
    return CliRunner().invoke(cli, ["check", *arguments])


def mended(text: str, path: str = "column.txt") -> str:
    return repair.repaired(check_text(path, text, Options()), Options()).after


@pytest.mark.parametrize(
    ("faulty", "right"),
    [
        # FIDE Laws C.13.4 and C.13.5: the signs.
        ("1.Kg2+! Kh4 2.Re4#, 1...h4 2.Rg5#", "1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#"),
        ("1.Kg2! Kh4 2.Re4+, 1...h4 2.Rg5#", "1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#"),
        # FIDE Laws C.10: only what is needed to tell two men apart.
        ("1.Kg2! Kh4 2.Ree4#, 1...h4 2.Rg5#", "1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#"),
        # PGN standard 8.2.2.1: numbers must be right where they stand.
        ("1.Kg2! Kh4 3.Re4#, 1...h4 2.Rg5#", "1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#"),
        # WFCC rules for writing solutions: all variations; the manner is that of the text.
        ("1.Kg2! zugzwang. 1...Kh4 2.Re4#", "1.Kg2! zugzwang. 1...Kh4 2.Re4#, 1...h4 2.Rg5#"),
        ("1.Kg2! zugzwang.\n- 1...Kh4 2.Re4#\n", "1.Kg2! zugzwang.\n- 1...Kh4 2.Re4#\n- 1...h4 2.Rg5#\n"),
        ("1.Kg2! zugzwang.\n1...h4 2.Rg5#, mate.", "1.Kg2! zugzwang.\n1...h4 2.Rg5#, mate.\n1...Kh4 2.Re4#"),
        ("1.Kg2! zugzwang.\n  1...Kh4 2.Re4", "1.Kg2! zugzwang.\n  1...Kh4 2.Re4\n  1...h4 2.Rg5"),
        ("1.Kg2! zugzwang. 1...Kh4 2.Te4#", "1.Kg2! zugzwang. 1...Kh4 2.Te4#, 1...h4 2.Tg5#"),
        ("1.Kf2-g2! zugzwang. 1...Kg4-h4 2.Re5-e4#", "1.Kf2-g2! zugzwang. 1...Kg4-h4 2.Re5-e4#, 1...h5-h4 2.Re5-g5#"),
        # Two faults, and one that comes to light when the first is repaired.
        ("1.Kg2+! Kh4 3.Ree4#", "1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#"),
    ],
)
def test_repairs(faulty: str, right: str) -> None:
    assert mended(HEAD + faulty) == HEAD + right
    assert not check_text("column.txt", HEAD + right, Options()).findings


def test_a_castling_right_in_the_fen() -> None:
    # WFCC Codex 16(1); PGN standard 16.1.3.3.
    assert mended("FEN: 7k/6pp/8/8/8/8/8/4K2R w - - 0 1\n1.O-O\n") == "FEN: 7k/6pp/8/8/8/8/8/4K2R w K - 0 1\n1.O-O\n"


def test_the_corpus_keeps_only_findings_without_a_repair(tmp_path: Path) -> None:
    copy = tmp_path / "faulty"
    copy.mkdir()
    for path in texts("faulty"):  # the others are as they would be left
        if any(placed.finding.repair for placed in checked(path).findings):
            shutil.copy(path, copy)
    before = {path.name: path.read_bytes() for path in copy.iterdir()}
    done = run("--repair", "--write", str(copy))
    assert done.exit_code == 1
    changed = [path for path in copy.iterdir() if path.read_bytes() != before[path.name]]
    assert len(changed) > 10
    # No wave of the same repairs is left: another run has nothing to do.
    again = run("--repair", str(copy))
    assert again.stdout == ""
    left = [
        placed.finding
        for path in sorted(copy.iterdir())
        if path.suffix != ".expected" and path.suffix != ".toml"
        for placed in check_file(str(path), Options()).findings
    ]
    assert left
    assert [finding.rule for finding in left if finding.repair] == []


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize("newline", ["\n", "\r\n", "\r"])
def test_the_rest_stays_byte_for_byte(tmp_path: Path, mark: bytes, newline: str) -> None:
    path = tmp_path / "column.txt"
    text = f"Größe\t𝄞 \n{HEAD}  1.Kg2! zugzwang.\n  1...Kh4 2.Ree4#  \n\n\nEnde ohne Zeilenende".replace("\n", newline)
    path.write_bytes(mark + text.encode())
    assert run("--repair", "--write", str(path)).exit_code == 0
    added = f"  1...Kh4 2.Re4#  {newline}  1...h4 2.Rg5#"
    assert path.read_bytes() == mark + text.replace("  1...Kh4 2.Ree4#  ", added).encode()


def test_the_diff_can_be_applied(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The output is what POSIX patch takes: `patch -p1` makes of the file what --write would."""
    patch = shutil.which("patch")
    if patch is None:
        pytest.skip("the program patch is not installed")
    (tmp_path / "column.txt").write_text(HEAD + "1.Kg2+! zugzwang.\n- 1...Kh4 2.Re4#")
    monkeypatch.chdir(tmp_path)
    done = run("--repair", "column.txt")
    assert done.exit_code == 1
    subprocess.run([patch, "-p1"], input=done.stdout_bytes, check=True, cwd=tmp_path, capture_output=True)
    assert (tmp_path / "column.txt").read_text() == HEAD + "1.Kg2! zugzwang.\n- 1...Kh4 2.Re4#\n- 1...h4 2.Rg5#"


def test_without_write_nothing_is_written(tmp_path: Path) -> None:
    path = tmp_path / "column.txt"
    path.write_text(HEAD + "1.Kg2+!\n")
    done = run("--repair", str(path))
    assert (done.exit_code, path.read_text()) == (1, HEAD + "1.Kg2+!\n")
    assert "-1.Kg2+!\n+1.Kg2!\n" in done.stdout
    assert "add --write" in done.stderr


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("--write", "column.txt"), "--write goes with --repair"),
        (("--repair", "--write", "-"), "--write goes with --repair and with files"),
        (("--repair", "--as", "json", "column.txt"), "takes no --as json"),
    ],
)
def test_misuse(arguments: tuple[str, ...], message: str) -> None:
    done = run(*arguments)
    assert (done.exit_code, message in done.stderr) == (2, True)


def test_a_file_changed_meanwhile_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "column.txt"
    path.write_text(HEAD + "1.Kg2+!\n")
    found = repair.repaired(check_file(str(path), Options()), Options())
    path.write_text("something else")
    with pytest.raises(repair.NotWritten, match="was changed while it was checked"):
        repair.write(found)
    assert path.read_text() == "something else"


def test_a_write_that_fails_leaves_the_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "column.txt"
    path.write_text("old")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space left"):
        write_whole(path, b"new")
    assert path.read_text() == "old"
    assert [each.name for each in tmp_path.iterdir()] == ["column.txt"]


def test_permissions_and_links_are_kept(tmp_path: Path) -> None:
    path, link = tmp_path / "column.txt", tmp_path / "link.txt"
    path.write_text("old")
    path.chmod(0o640)
    link.symlink_to(path)
    write_whole(link, b"new")
    assert link.is_symlink()
    assert path.read_bytes() == b"new"
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


def test_repairs_that_touch_are_made_one_after_the_other() -> None:
    """Two edits of the same words: the first is made, the other waits for the next check."""
    from keyproof.rules.finding import Finding, Level

    def finding(start: int, end: int, text: str) -> Finding:
        return Finding("rule", Level.error, Span(start, end), "", repair=(Edit(Span(start, end), text),))

    edits, used = repair._compatible([finding(0, 3, "a"), finding(2, 5, "b"), finding(5, 5, "c"), finding(5, 6, "d")])
    assert used == 3
    assert repair.applied("0123456", edits) == "a34cd6"


@given(st.data())
def test_edits_change_nothing_else(data: Any) -> None:
    text = data.draw(st.text(max_size=40))
    cuts = sorted(set(data.draw(st.lists(st.integers(0, len(text)), max_size=8))))
    spans = [Span(start, end) for start, end in zip(cuts[::2], cuts[1::2], strict=False)]
    edits = [Edit(span, data.draw(st.text(max_size=3))) for span in spans]
    pieces, at = [], 0
    for edit in edits:
        pieces += [text[at : edit.span.start], edit.text]
        at = edit.span.end
    assert repair.applied(text, data.draw(st.permutations(edits))) == "".join(pieces) + text[at:]
