"""Pipes, terminals, interrupts and processes: the command as a person or a program runs it."""

import json
import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from keyproof.linter.exits import Exit

from .conftest import FAULTY, FEN, SOUND, Process, command, environment

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="needs pseudo-terminals, named pipes and /proc")

PATIENCE = 30  # seconds a test waits for what should take far less


@pytest.fixture
def started(tmp_path: Path) -> Iterator[list["subprocess.Popen[str]"]]:
    """Processes a test starts; each is ended when the test is over."""
    running: list[subprocess.Popen[str]] = []
    yield running
    for each in running:
        each.kill()
        each.communicate()


def start(started: list["subprocess.Popen[str]"], folder: Path, *arguments: str) -> "subprocess.Popen[str]":
    process = subprocess.Popen(
        command(*arguments),
        cwd=folder,
        env=environment(),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        encoding="utf-8",
        start_new_session=True,
    )
    started.append(process)
    return process


def on_terminal(folder: Path, *arguments: str, width: int = 80, **extra: str) -> tuple[int, str]:
    """Run the command with a terminal for all its streams; return status and all that was shown."""
    import fcntl
    import pty
    import struct
    import termios

    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, width, 0, 0))
    process = subprocess.Popen(
        command(*arguments), cwd=folder, env=environment(**extra), stdin=theirs, stdout=theirs, stderr=theirs
    )
    os.close(theirs)
    shown = b""
    while True:
        try:
            chunk = os.read(ours, 65536)
        except OSError:  # the terminal is closed
            break
        if not chunk:
            break
        shown += chunk
    os.close(ours)
    return process.wait(), shown.decode().replace("\r\n", "\n")


def bare(shown: str) -> str:
    return re.sub(r"\x1b\[[0-9;?]*[A-Za-z]", "", shown)


def test_a_pipe_gets_whole_lines_without_colour(process: Process, tmp_path: Path) -> None:
    name = "a folder with a long name/" + "x" * 60 + ".txt"
    (tmp_path / name).parent.mkdir()
    (tmp_path / name).write_text(FAULTY)
    done = process("check", name, COLUMNS="40", FORCE_COLOR="1")
    assert done.returncode == Exit.findings
    assert "\x1b" not in done.stdout
    (finding,) = [row for row in done.stdout.splitlines() if row.startswith(f"{name}:")]
    assert re.fullmatch(re.escape(name) + r":4:\d+: error: .* \[mate-without-check\]", finding)


def test_a_terminal_gets_colour_and_its_width(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text(FAULTY)
    status, shown = on_terminal(tmp_path, "check", "a.txt", width=50)
    assert status == Exit.findings
    assert "\x1b[1;31merror\x1b[0m" in shown
    rows = bare(shown).splitlines()
    assert max(map(len, rows)) <= 50
    start = next(index for index, row in enumerate(rows) if row.startswith("a.txt:4:"))
    assert rows[start + 1].startswith("    ")


def test_no_color_is_honoured_on_a_terminal(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text(FAULTY)
    assert "\x1b" not in on_terminal(tmp_path, "check", "a.txt", NO_COLOR="1")[1]
    assert "\x1b" not in on_terminal(tmp_path, "prove", FEN, "--stipulation", "#2", NO_COLOR="1")[1]
    assert "\x1b" not in on_terminal(tmp_path, "explain", NO_COLOR="1")[1]


@pytest.mark.parametrize("arguments", [["explain"], ["explain", "check-not-mate"], ["prove", FEN, "--stipulation", "#2"]])
def test_a_terminal_shows_the_words_of_the_pipe(process: Process, tmp_path: Path, arguments: list[str]) -> None:
    _, shown = on_terminal(tmp_path, *arguments, width=60)

    def words(text: str) -> list[str]:
        return [word for word in text.split() if not re.fullmatch(r"0\.\d+", word)]  # seconds differ

    assert words(bare(shown)) == words(process(*arguments).stdout)


def test_a_poor_encoding_gets_escapes(process: Process, tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text(FAULTY.replace("waiting", "♔"), "utf-8")
    done = process("check", "a.txt", PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    assert done.returncode == Exit.findings
    assert "\\u2654 king" in done.stdout
    assert done.stderr == ""


def test_a_closed_pipe_is_quiet(started: list["subprocess.Popen[str]"], tmp_path: Path) -> None:
    for number in range(40):
        (tmp_path / f"{number}.txt").write_text(FAULTY * 5)
    for arguments in (["check", "--jobs", "1", "."], ["check", "--as", "json", "--jobs", "1", "."]):
        process = start(started, tmp_path, *arguments)
        assert process.stdout is not None
        process.stdout.readline()
        process.stdout.close()
        assert process.wait(PATIENCE) == Exit.broken_pipe
        assert process.stderr is not None
        assert process.stderr.read() == ""


def test_closed_streams_are_no_fault(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text(FAULTY)
    line = " ".join([*command("check", "a.txt"), ">&-", "2>&-"])
    assert subprocess.run(["sh", "-c", line], cwd=tmp_path, env=environment()).returncode == Exit.findings


def test_a_full_disk_is_one_line(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text(FAULTY)
    with open("/dev/full", "w") as full:
        done = subprocess.run(
            command("check", "a.txt"),
            cwd=tmp_path,
            env=environment(),
            stdout=full,
            stderr=subprocess.PIPE,
            encoding="utf-8",
        )
    assert done.returncode == Exit.unreadable
    assert done.stderr == "keyproof: error: the output cannot be written: No space left on device\n"


@pytest.mark.parametrize("jobs", ["1", "2"])
@pytest.mark.parametrize("form", ["text", "json"])
def test_an_interrupt_keeps_what_was_found(
    started: list["subprocess.Popen[str]"], tmp_path: Path, jobs: str, form: str
) -> None:
    (tmp_path / "a.txt").write_text(FAULTY)
    os.mkfifo(tmp_path / "b.txt")  # reading it waits for ever
    (tmp_path / "c.txt").write_text(FAULTY)
    process = start(started, tmp_path, "check", "--as", form, "--jobs", jobs, "a.txt", "b.txt", "c.txt")
    assert process.stdout is not None
    first = process.stdout.readline() + process.stdout.readline()
    os.killpg(process.pid, signal.SIGINT)
    rest, complaint = process.communicate(timeout=PATIENCE)
    assert process.returncode == Exit.interrupted
    assert complaint == ""
    if form == "json":
        assert [file["path"] for file in json.loads(first + rest)["files"]] == ["a.txt"]
    else:
        assert "a.txt:4:" in first
        assert rest.endswith("Interrupted: 2 paths not looked at. Found 1 error.\n")


def test_an_interrupt_during_a_proof_is_quiet(started: list["subprocess.Popen[str]"], tmp_path: Path) -> None:
    # The start array as a mate in nine: no search within the effort ends soon.
    array = "rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1"
    process = start(started, tmp_path, "prove", array, "--stipulation", "#9", "--effort", "1e6")
    time.sleep(1.5)
    assert process.poll() is None
    os.killpg(process.pid, signal.SIGINT)
    out, complaint = process.communicate(timeout=5)
    assert (process.returncode, out, complaint) == (Exit.interrupted, "", "")


def test_several_processes_say_the_same_in_the_same_order(process: Process, tmp_path: Path) -> None:
    for number in range(12):
        (tmp_path / f"{number:02}.txt").write_text(FAULTY if number % 3 else SOUND)
    (tmp_path / "05.txt").write_bytes(b"\xff")
    for form in ("text", "json"):
        one, two = (process("check", "--as", form, "--jobs", jobs, ".", "missing.txt") for jobs in ("1", "3"))
        assert (one.returncode, one.stdout, one.stderr) == (two.returncode, two.stdout, two.stderr)
        assert one.returncode == Exit.unreadable
        assert len(one.stderr.splitlines()) == 2


def children(pid: int) -> list[int]:
    found = []
    for task in Path(f"/proc/{pid}/task").iterdir():
        found.extend(map(int, (task / "children").read_text().split()))
    return found


def reader_of(pid: int, path: Path) -> int | None:
    """Return the child that is opening the named pipe: the one that waits while the others are idle or done."""
    for child in children(pid):
        try:
            if "fifo" in Path(f"/proc/{child}/wchan").read_text() or "fifo" in Path(f"/proc/{child}/stack").read_text():
                return child
        except OSError:
            continue
    return None


def test_a_process_that_dies_costs_only_its_file(started: list["subprocess.Popen[str]"], tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text(FAULTY)
    os.mkfifo(tmp_path / "b.txt")
    (tmp_path / "c.txt").write_text(FAULTY)
    process = start(started, tmp_path, "check", "--jobs", "2", "a.txt", "b.txt", "c.txt")
    assert process.stdout is not None
    head = "".join(process.stdout.readline() for _ in range(4))
    assert "a.txt:4:" in head
    # Whoever holds b.txt dies, in the pool and when it has a process of its own.
    end = time.monotonic() + PATIENCE
    while process.poll() is None and time.monotonic() < end:
        for child in children(process.pid):
            if b"spawn_main" in Path(f"/proc/{child}/cmdline").read_bytes():
                try:
                    os.kill(child, signal.SIGKILL)
                except ProcessLookupError:
                    continue
        time.sleep(1)
        if "c.txt" in head:
            break
    rest, complaint = process.communicate(timeout=PATIENCE)
    assert process.returncode == Exit.unreadable
