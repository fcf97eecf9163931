"""Pipes, terminals, interrupts and processes: the command as a person or a program runs it."""

import contextlib
import io
import json
import os
import re
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

import pytest
from keyproof.linter.cli import cli
from keyproof.linter.exits import Exit
from keyproof.linter.progress import DELAY, Progress

from .conftest import FAULTY, FEN, SOUND, Process, command, environment

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="needs pseudo-terminals, named pipes and /proc")

PATIENCE = 120  # seconds a test waits for what should take far less: a machine may be busy


@pytest.fixture
def started(tmp_path: Path) -> Iterator[list["subprocess.Popen[str]"]]:
    """Processes a test starts; each is ended when the test is over."""
    running: list[subprocess.Popen[str]] = []
    yield running
    for each in running:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(each.pid, signal.SIGKILL)  # with those it started, which hold its pipes open
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
        # A shell that runs the tests in the background lets them ignore interrupts, and so would this process.
        preexec_fn=partial(signal.signal, signal.SIGINT, signal.SIG_DFL),
    )
    started.append(process)
    return process


def on_terminal(
    folder: Path,
    *arguments: str,
    width: int = 80,
    once: tuple[str, Callable[[], object]] | None = None,
    **extra: str,
) -> tuple[int, str]:
    """Run the command with a terminal for all its streams; return status and all that was shown.

    `once`: words, and what to do once they are shown.
    """
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
    patience = threading.Timer(PATIENCE, process.kill)
    patience.start()
    shown = b""
    while True:
        try:
            chunk = os.read(ours, 65536)
        except OSError:  # the terminal is closed
            break
        if not chunk:
            break
        shown += chunk
        if once is not None and once[0].encode() in shown:
            once[1]()
            once = None
    os.close(ours)
    patience.cancel()
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
    for arguments in (["check", "a.txt"], ["prove", FEN, "--stipulation", "#2"], ["explain"]):
        _, shown = on_terminal(tmp_path, *arguments, NO_COLOR="1")
        assert not re.search(r"\x1b\[[0-9;]*m", shown), arguments  # a slow run moves the cursor, without colours


@pytest.mark.parametrize(
    "arguments", [["explain"], ["explain", "check-not-mate"], ["prove", FEN, "--stipulation", "#2"]]
)
def test_a_terminal_shows_the_words_of_the_pipe(process: Process, tmp_path: Path, arguments: list[str]) -> None:
    _, shown = on_terminal(tmp_path, *arguments, width=60)

    def words(text: str) -> list[str]:
        return [word for word in text.split() if not re.fullmatch(r"\d+\.\d+", word)]  # seconds differ

    assert words(bare(shown)) == words(process(*arguments).stdout)


def test_a_poor_encoding_gets_escapes(process: Process, tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text(FAULTY.replace("waiting", "♔"), "utf-8")
    done = process("check", "a.txt", PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    assert done.returncode == Exit.findings
    assert "\\u2654 king" in done.stdout
    assert done.stderr == ""


@pytest.mark.parametrize(
    "arguments",
    [
        ["check", "--jobs", "1", "."],
        ["check", "--jobs", "2", "."],
        ["check", "--as", "json", "."],
        ["prove", "a.txt"],
        ["prove", "--as", "json", "a.txt"],
        ["explain"],
        ["--help"],
    ],
)
def test_a_closed_pipe_is_quiet(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], arguments: list[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    for name in ("a.txt", "b.txt", "c.txt"):
        (tmp_path / name).write_text(FAULTY)
    with broken_pipe() as broken:
        monkeypatch.setattr(sys, "stdout", broken)
        with pytest.raises(SystemExit) as ended:
            cli(arguments)
    assert ended.value.code == Exit.broken_pipe
    assert capsys.readouterr().err == ""


@contextlib.contextmanager
def broken_pipe() -> Iterator[io.TextIOWrapper]:
    """Make a stream whose reader has gone."""
    reading, writing = os.pipe()
    os.close(reading)
    broken = os.fdopen(writing, "w")
    yield broken
    with contextlib.suppress(BrokenPipeError):
        broken.close()


def test_a_process_with_a_closed_pipe_is_quiet_to_its_end(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text(FAULTY)
    with broken_pipe() as broken:
        done = subprocess.run(
            command("check", "."),
            cwd=tmp_path,
            env=environment(),
            stdout=broken,
            stderr=subprocess.PIPE,
            encoding="utf-8",
            timeout=PATIENCE,
        )
    assert (done.returncode, done.stderr) == (Exit.broken_pipe, "")


def test_closed_streams_are_no_fault(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text(FAULTY)
    line = " ".join([*command("check", "a.txt"), ">&-", "2>&-"])
    assert (
        subprocess.run(["sh", "-c", line], cwd=tmp_path, env=environment(), timeout=PATIENCE).returncode
        == Exit.findings
    )


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
            timeout=PATIENCE,
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
    first = process.stdout.readline() + process.stdout.readline()  # both are whole before b.txt is read
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
    end = time.monotonic() + PATIENCE
    while process.poll() is None and threads_of(process.pid) < 2 and time.monotonic() < end:
        time.sleep(0.01)
    assert process.poll() is None
    os.killpg(process.pid, signal.SIGINT)
    out, complaint = process.communicate(timeout=5)
    assert (process.returncode, out, complaint) == (Exit.interrupted, "", "")


def threads_of(pid: int) -> int:
    """Return how many threads a process has: a search begins in one of its own."""
    return len(list(Path(f"/proc/{pid}/task").iterdir()))


def test_several_processes_say_the_same_in_the_same_order(process: Process, tmp_path: Path) -> None:
    for number in range(12):
        (tmp_path / f"{number:02}.txt").write_text(FAULTY if number % 3 else SOUND)
    (tmp_path / "05.txt").write_bytes(b"\xff")
    for form in ("text", "json"):
        one, two = (process("check", "--as", form, "--jobs", jobs, ".", "missing.txt") for jobs in ("1", "3"))
        assert (one.returncode, one.stdout, one.stderr) == (two.returncode, two.stdout, two.stderr)
        assert one.returncode == Exit.unreadable
        assert len(one.stderr.splitlines()) == 2


def test_a_long_run_shows_how_far_it_got(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text(FAULTY)
    os.mkfifo(tmp_path / "b.txt")  # it cannot be read before it is seen that it is waited for
    feed = partial((tmp_path / "b.txt").write_text, FAULTY)
    status, shown = on_terminal(tmp_path, "check", "--jobs", "1", "a.txt", "b.txt", once=("1/2", feed))
    assert status == Exit.findings, shown
    # What stays on the screen is the report: the display is wiped (erase the line: ECMA-48, EL).
    assert "\x1b[2K" in shown
    assert re.search(r"b\.txt:4:\d+: ", bare(shown))


def test_a_run_that_ends_before_the_delay_shows_no_display(monkeypatch: pytest.MonkeyPatch) -> None:
    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    monkeypatch.setattr("keyproof.linter.progress.DELAY", 60.0)
    with Progress(1) as progress:
        progress.advance()
    assert terminal.getvalue() == ""


def test_a_pipe_gets_no_display(process: Process, tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "b.txt")

    def feed_late() -> None:
        with (tmp_path / "b.txt").open("w") as reader_waits:
            time.sleep(2 * DELAY)  # a display would have begun
            reader_waits.write(FAULTY)

    threading.Thread(target=feed_late, daemon=True).start()  # it waits for ever where nobody reads
    done = process("check", "b.txt")
    assert done.stderr == ""
    assert "checking" not in done.stdout


def readers_of(path: Path) -> set[int]:
    """Return the processes that have a file open."""
    found = set()
    for entry in Path("/proc").glob("[0-9]*/fd/*"):
        try:
            if entry.readlink() == path:
                found.add(int(entry.parts[2]))
        except OSError:  # the process has ended, or is another user's
            continue
    return found


def test_a_process_that_dies_costs_only_its_file(started: list["subprocess.Popen[str]"], tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text(FAULTY)
    os.mkfifo(tmp_path / "b.txt")
    (tmp_path / "c.txt").write_text(FAULTY)
    process = start(started, tmp_path, "check", "--jobs", "2", "a.txt", "b.txt", "c.txt")
    killed: set[int] = set()
    writing: int | None = None
    end = time.monotonic() + PATIENCE
    # Whoever reads b.txt is killed: in the pool, and when b.txt has a process of its own. It stays open here, so that
    # no reader comes to its end.
    while process.poll() is None and time.monotonic() < end:
        if writing is None:
            with contextlib.suppress(OSError):  # nobody waits to read it
                writing = os.open(tmp_path / "b.txt", os.O_WRONLY | os.O_NONBLOCK)
        for reader in readers_of(tmp_path / "b.txt") - {os.getpid()}:
            with contextlib.suppress(ProcessLookupError):
                os.kill(reader, signal.SIGKILL)
            killed.add(reader)
        time.sleep(0.01)
    assert writing is not None
    os.close(writing)
    out, complaint = process.communicate(timeout=PATIENCE)
    assert process.pid not in killed
    assert len(killed) >= 2
    assert process.returncode == Exit.unreadable
    assert complaint.startswith("b.txt:1:1: error: keyproof itself failed on this file, please report: ")
    assert len(complaint.splitlines()) == 1
    assert re.findall(r"^[abc]\.txt(?=:4:)", out, re.M) == ["a.txt", "c.txt"]
