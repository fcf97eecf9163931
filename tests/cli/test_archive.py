"""Archives: reports that stream, go on where they were, and come out the same wherever the work is done."""

import json
import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from keyproof.linter import jobs, pieces
from keyproof.linter.options import Options
from keyproof.linter.pieces import Piece
from keyproof.linter.results import FileResult

from .conftest import FAULTY, FEN, SOUND, Keyproof, command, environment

# Records of EPD, each with a key that is right or wrong, and a remark line now and then (PGN standard 16.2).
MEN = ("8/8/4N3/4R2p/6k1/8/5K2/8", "k7/8/2K2N2/8/p7/7R/8/8", "8/8/8/8/p7/7R/k1K5/8", "7k/5K2/8/8/8/8/8/6R1")


def records(number: int) -> str:
    lines = []
    for each in range(number):
        lines.append(f'{MEN[each % len(MEN)]} w - - dm 2; bm {("Kg2", "Rd3")[each % 2]}; id "No. {each + 1}";\n')
        if each % 7 == 0:
            lines.append("# c0 A remark of the editor.\n")
    return "".join(lines)


@pytest.fixture
def archive(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a folder with files of several kinds, one of them read in stretches of ten records."""
    monkeypatch.setattr(pieces, "LARGE", 1_000)
    monkeypatch.setattr(pieces, "RECORDS", 10)
    folder = tmp_path / "archive"
    folder.mkdir()
    for number in range(6):
        (folder / f"{number}.txt").write_text(FAULTY if number % 2 else SOUND)
    (folder / "records.epd").write_text(records(35))
    (folder / "bad.txt").write_bytes(b"\xff\xfe\xff")
    return folder


def lines_of(text: str) -> list[dict[str, object]]:
    return [json.loads(line) for line in text.splitlines()]


def test_each_puzzle_has_a_line_and_each_piece_an_end(archive: Path, keyproof: Keyproof) -> None:
    lines = lines_of(keyproof("check", "--as", "jsonl", "--jobs", "1", str(archive)).stdout)
    puzzles, ends = [each for each in lines if "verdict" in each], [each for each in lines if "done" in each]
    assert len(puzzles) + len(ends) == len(lines)
    assert len(puzzles) == 6 + 35
    assert [os.path.basename(str(each["done"])) for each in ends] == [
        *(f"{number}.txt" for number in range(6)),
        "bad.txt",
        *(["records.epd"] * 4),
    ]
    assert [each["piece"] for each in ends[-4:]] == [0, 1, 2, 3]
    assert [each["last"] for each in ends[-4:]] == [False, False, False, True]
    assert [each["path"] for each in puzzles] == sorted(str(each["path"]) for each in puzzles)


def test_a_large_file_in_stretches_has_the_lines_and_findings_of_the_whole(archive: Path, keyproof: Keyproof) -> None:
    path = archive / "records.epd"
    whole = json.loads(keyproof("check", "--as", "json", "--jobs", "1", str(path)).stdout)["files"][0]
    lines = lines_of(keyproof("check", "--as", "jsonl", "--jobs", "1", str(path)).stdout)
    puzzles = [each for each in lines if "verdict" in each]
    assert [each["line"] for each in puzzles] == [each["line"] for each in whole["puzzles"]]
    assert [each["title"] for each in puzzles] == [each["title"] for each in whole["puzzles"]]
    near = {"repeated-position", "number-out-of-order"}  # what is asked of the file is asked of each stretch
    found = [(f["line"], f["column"], f["rule"]) for each in puzzles for f in each["findings"] if f["rule"] not in near]
    expected = [(f["line"], f["column"], f["rule"]) for f in whole["findings"] if f["rule"] not in near]
    assert found == expected
    assert any("in stretches" in str(each["remarks"]) for each in lines if "done" in each)


@pytest.mark.parametrize("form", ["text", "sarif"])
def test_other_streams_show_the_lines_of_the_file_too(archive: Path, keyproof: Keyproof, form: str) -> None:
    path = archive / "records.epd"
    shown = keyproof("check", "--as", form, "--jobs", "1", str(path)).stdout
    last = path.read_text().count("\n")
    if form == "sarif":
        results = json.loads(shown)["runs"][0]["results"]
        found = {each["locations"][0]["physicalLocation"]["region"]["startLine"] for each in results}
    else:
        found = {int(line.split("records.epd:")[1].split(":")[0]) for line in shown.splitlines() if "epd:" in line}
    assert max(found) > last - 8
    if form == "text":
        assert "35 puzzles in 1 file" in shown


def test_games_are_cut_between_games(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pieces, "LARGE", 10)
    monkeypatch.setattr(pieces, "RECORDS", 2)
    game = f'[Event "x"]\n[SetUp "1"]\n[FEN "{FEN}"]\n\n1. Kg2 Kh4 (1... h4 2. Rg5#)\n2. Re4# *\n\n'
    path = tmp_path / "a.pgn"
    path.write_text(game * 5)
    cut = list(pieces.pieces([str(path)], Options()))
    assert all(isinstance(each, Piece) for each in cut)
    assert b"".join(each.data or b"" for each in cut if isinstance(each, Piece)) == path.read_bytes()
    assert [(each.data or b"").count(b"[Event") for each in cut if isinstance(each, Piece)] == [2, 2, 1]


def test_no_more_is_read_than_is_under_way(archive: Path) -> None:
    taken = 0

    def tasks() -> Iterator[Piece | FileResult]:
        nonlocal taken
        for _ in range(100):
            taken += 1
            yield Piece(str(archive / "0.txt"))

    results = jobs.in_order(tasks(), Options(), 2)
    for done, _ in enumerate(results, start=1):
        assert taken <= done + 2 * jobs.WINDOW
        if done == 20:
            break
    results.close()


def test_a_report_goes_on_where_it_was(archive: Path, tmp_path: Path, keyproof: Keyproof) -> None:
    output = tmp_path / "report.jsonl"
    run = ("check", "--as", "jsonl", "--jobs", "1", "--output", str(output), str(archive))
    first = keyproof(*run)
    whole = output.read_bytes()
    cuts = random.Random(1)
    for cut in [0, 1, len(whole) - 1, *(cuts.randrange(len(whole)) for _ in range(12))]:
        output.write_bytes(whole[:cut])
        again = keyproof(*run)
        assert output.read_bytes() == whole
        assert again.exit_code == first.exit_code
    assert keyproof(*run).exit_code == first.exit_code
    assert output.read_bytes() == whole


def test_what_has_changed_is_done_anew(archive: Path, tmp_path: Path, keyproof: Keyproof) -> None:
    output = tmp_path / "report.jsonl"
    run = ("check", "--as", "jsonl", "--jobs", "1", "-o", str(output), str(archive))
    keyproof(*run)
    (archive / "3.txt").write_text(SOUND)
    keyproof(*run)
    puzzles = [each for each in lines_of(output.read_text()) if str(each.get("path", "")).endswith("3.txt")]
    assert [each["findings"] for each in puzzles] == [[]]
    before = output.read_bytes()
    keyproof(*run, "--effort", "1")  # other options: nothing of it can be taken
    assert output.read_bytes() != before
    assert output.read_bytes().count(b'"done"') == before.count(b'"done"')


def made_again(output: Path, run: tuple[str, ...], keyproof: Keyproof, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Run once more and return the names of the files that were checked anew."""
    checked: list[str] = []

    def noted(piece: Piece, *rest: object) -> FileResult:
        checked.append(os.path.basename(piece.path))
        return guarded(piece, *rest)  # type: ignore[arg-type]

    guarded = jobs.guarded
    with monkeypatch.context() as patched:
        patched.setattr(jobs, "guarded", noted)
        keyproof(*run)
    return checked


def test_only_what_is_missing_is_done_manuscripts_too(
    tmp_path: Path, keyproof: Keyproof, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder, output = tmp_path / "archive", tmp_path / "report.jsonl"
    folder.mkdir()
    (folder / "a.txt").write_text(SOUND)
    (folder / "b.html").write_text(f"<p>FEN: {FEN}</p><p>Mate in two.</p><p>1.Kg2!</p>")
    (folder / "c.docx").write_bytes(b"no archive")  # refused, and so it is each time
    run = ("check", "--as", "jsonl", "--jobs", "1", "-o", str(output), str(folder))
    assert made_again(output, run, keyproof, monkeypatch) == ["a.txt", "b.html", "c.docx"]
    whole = output.read_bytes()
    assert made_again(output, run, keyproof, monkeypatch) == []
    assert output.read_bytes() == whole
    output.write_bytes(whole[: whole.index(b'"done"', whole.index(b"b.html"))])
    assert made_again(output, run, keyproof, monkeypatch) == ["b.html", "c.docx"]
    (folder / "b.html").write_text((folder / "b.html").read_text().replace("<p>1", '<p class="x">1'))
    assert made_again(output, run, keyproof, monkeypatch) == ["b.html", "c.docx"]  # the same text of other bytes


def test_a_file_beside_a_text_that_has_changed_is_a_change_of_it(
    tmp_path: Path, keyproof: Keyproof, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder, output, given = tmp_path / "archive", tmp_path / "report.jsonl", tmp_path / "given.txt"
    folder.mkdir()
    for name in ("a", "b", "c"):
        (folder / f"{name}.vtt").write_text("WEBVTT\n\n00:01.000 --> 00:02.000\nThe key is king to g2.\n")
    run = ("check", "--as", "jsonl", "--jobs", "1", "-o", str(output), str(folder))
    keyproof(*run)
    (folder / "b.positions.txt").write_text(SOUND)
    assert made_again(output, run, keyproof, monkeypatch) == ["b.positions.txt", "b.vtt", "c.vtt"]
    (folder / "b.keyproof").write_text('{"keyproof": 1, "readings": []}')
    assert made_again(output, run, keyproof, monkeypatch) == ["b.vtt", "c.vtt"]
    given.write_text(SOUND)
    run = (*run, "--positions", str(given))
    assert made_again(output, run, keyproof, monkeypatch)[0] == "a.vtt"
    assert made_again(output, run, keyproof, monkeypatch) == []
    given.write_text(SOUND + "\n")
    assert made_again(output, run, keyproof, monkeypatch)[0] == "a.vtt"


def test_a_file_that_is_no_report_is_cut_to_nothing_only_if_named_so(archive: Path, keyproof: Keyproof) -> None:
    mine = archive / "0.txt"
    before = mine.read_bytes()
    done = keyproof("check", "--as", "jsonl", "-o", str(mine), str(archive))
    assert done.exit_code == 2
    assert mine.read_bytes() == before


KILLS = int(os.environ.get("KEYPROOF_KILLS", "4"))
"""How often a run is killed; more by hand: KEYPROOF_KILLS=100."""


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="no such signal here")
def test_no_line_is_lost_or_doubled_by_kills(tmp_path: Path) -> None:
    folder = tmp_path / "archive"
    folder.mkdir()
    for number in range(40):
        (folder / f"{number:02}.txt").write_text((FAULTY if number % 2 else SOUND) * 3)
    output = tmp_path / "report.jsonl"
    run = [*command("check", "--as", "jsonl", "--jobs", "2", "-o")]
    settings = environment(KEYPROOF_CACHE=str(tmp_path / "cache"))
    whole = [*run, str(tmp_path / "whole.jsonl"), str(folder)]
    kept = subprocess.run(whole, env=settings, capture_output=True).returncode
    chance = random.Random(int(os.environ.get("KEYPROOF_SEED", "1")))
    sizes = [0]
    for _ in range(KILLS):
        with subprocess.Popen([*run, str(output), str(folder)], env=settings, stderr=subprocess.DEVNULL) as process:
            until = time.monotonic() + 60
            more = chance.randrange(1, 4_000)
            while process.poll() is None and time.monotonic() < until:
                if output.exists() and output.stat().st_size >= sizes[-1] + more:
                    break
                time.sleep(0.002)
            process.kill()
        sizes.append(output.stat().st_size if output.exists() else 0)
    assert subprocess.run([*run, str(output), str(folder)], env=settings, capture_output=True).returncode == kept
    assert output.read_bytes() == (tmp_path / "whole.jsonl").read_bytes()


def test_two_runs_do_not_write_to_one_report(archive: Path, tmp_path: Path) -> None:
    fcntl = pytest.importorskip("fcntl")
    output = tmp_path / "report.jsonl"
    with output.open("a") as stream:
        fcntl.lockf(stream, fcntl.LOCK_EX)  # POSIX: of one process, so the run needs one of its own
        other = [*command("check", "--as", "jsonl", "-o", str(output), str(archive))]
        done = subprocess.run(other, capture_output=True, encoding="utf-8", env=environment())
    assert done.returncode == 2
    assert "another run" in done.stderr
    assert output.read_bytes() == b""


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="no such signal here")
def test_processes_do_not_outlive_a_run_that_was_killed() -> None:
    code = (
        "from keyproof.linter import executors; import os, time;"
        "pool = executors.processes(1);"
        "print(executors.submit(pool, os.getpid).result(), flush=True); time.sleep(60)"
    )
    with subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, encoding="utf-8") as process:
        assert process.stdout is not None
        child = int(process.stdout.readline())
        process.kill()
    until = time.monotonic() + 30
    while time.monotonic() < until and _lives(child):
        time.sleep(0.1)
    assert not _lives(child)


def _lives(process: int) -> bool:
    try:
        return "State:\tZ" not in Path(f"/proc/{process}/status").read_text()
    except OSError:
        return False


def test_a_full_disk_ends_the_run_with_a_clear_word(archive: Path) -> None:
    full = Path("/dev/full")
    if not full.exists():
        pytest.skip("no full disk at hand")
    run = [*command("check", "--as", "jsonl", "--jobs", "1", str(archive))]
    with full.open("w") as stream:
        done = subprocess.run(run, stdout=stream, stderr=subprocess.PIPE, encoding="utf-8", env=environment())
    assert done.returncode == 2
    assert "the output cannot be written" in done.stderr
    assert "Traceback" not in done.stderr


# -- what git says has changed


def git(folder: Path, *words: str) -> None:
    names = ("-c", "user.name=x", "-c", "user.email=x@example.org")
    subprocess.run(["git", "-C", str(folder), *names, *words], check=True, capture_output=True)


def test_only_what_has_changed_is_checked(archive: Path, keyproof: Keyproof) -> None:
    git(archive, "init", "-q")
    git(archive, "add", ".")
    git(archive, "commit", "-qm", "all")
    (archive / "2.txt").write_text(SOUND + "\n")
    (archive / "new.txt").write_text(SOUND)
    (archive / "4.txt").unlink()
    shown = keyproof("check", "--as", "jsonl", "--jobs", "1", "--since", "HEAD", str(archive)).stdout
    assert [os.path.basename(str(each["done"])) for each in lines_of(shown) if "done" in each] == ["2.txt", "new.txt"]


def test_only_what_has_changed_is_repaired(tmp_path: Path, keyproof: Keyproof) -> None:
    mismarked = f"FEN: {FEN}\nMate in two.\n1.Kg2! Kh4 2.Re4+, 1...h4 2.Rg5+\n"
    for name in ("old.txt", "new.txt"):
        (tmp_path / name).write_text(mismarked)
    git(tmp_path, "init", "-q")
    git(tmp_path, "add", "old.txt")
    git(tmp_path, "commit", "-qm", "all")
    shown = keyproof("check", "--repair", "--write", "--since", "HEAD", str(tmp_path)).stdout
    assert "new.txt" in shown
    assert "old.txt" not in shown
    assert (tmp_path / "old.txt").read_text() == mismarked != (tmp_path / "new.txt").read_text()


@pytest.mark.parametrize("revision", ["nothing", "--upload-pack=x", "HEAD~7", ""])
def test_a_revision_that_is_none_says_so(archive: Path, keyproof: Keyproof, revision: str) -> None:
    git(archive, "init", "-q")
    git(archive, "add", ".")
    git(archive, "commit", "-qm", "all")
    done = keyproof("check", f"--since={revision}", str(archive))
    assert done.exit_code == 2
    assert "git cannot tell what has changed" in done.stderr


def test_without_a_repository_it_says_so(archive: Path, keyproof: Keyproof) -> None:
    done = keyproof("check", "--since", "HEAD", str(archive))
    assert done.exit_code == 2
    assert "git cannot tell" in done.stderr
