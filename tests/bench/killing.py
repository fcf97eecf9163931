"""Processes that end at any moment: the machinery of kills.py."""

import contextlib
import io
import os
import random
import signal
import sys
import threading
import time
from collections import Counter
from collections.abc import Callable, Sequence
from types import FrameType
from typing import Any

from keyproof.linter.cli import cli

Work = Callable[[], int]
WRITERS = ("writing.py", "repair.py", "journal.py", "cache.py")


class Lines:
    """Follows the lines of the code that writes: counts them, and does something before the one of a number."""

    def __init__(self, at: int = -1, do: Callable[[], None] = lambda: None, writers: Sequence[str] = WRITERS) -> None:
        self.at, self.do, self.writers, self.seen = at, do, writers, 0

    def __call__(self, frame: FrameType, event: str, told: Any) -> Any:
        """Be told of a frame that begins, or of a line in one that is followed."""
        if os.path.basename(frame.f_code.co_filename) not in self.writers:
            return None
        if event == "line":
            self.seen += 1
            if self.seen == self.at:
                self.do()
        return self


def child(work: Work, follow: Lines | None = None) -> int:
    """Begin some work in a forked process that says nothing; return its number."""
    number = os.fork()
    if number:
        return number
    status = 70
    try:
        nothing = os.open(os.devnull, os.O_RDWR)
        for each in (0, 1, 2):
            os.dup2(nothing, each)
        if follow is not None:
            threading.settrace(follow)
            sys.settrace(follow)
        status = work()
    except SystemExit as ended:
        status = int(ended.code or 0)
    finally:
        os._exit(status)


def waited(number: int) -> int:
    """Wait for a process and return its status, below 0 for the signal that ended it."""
    return os.waitstatus_to_exitcode(os.waitpid(number, 0)[1])


def died() -> None:
    """End this process as kill -9 does."""
    os.kill(os.getpid(), signal.SIGKILL)


def command(*words: str) -> Work:
    """Return the work of a command."""

    def run() -> int:
        cli(words, prog_name="keyproof")
        return 0

    return run


def lines_of(work: Work, writers: Sequence[str] = WRITERS) -> int:
    """Return how many lines of the code that writes some work comes to."""
    read, write = os.pipe()
    follow = Lines(writers=writers)

    def counted() -> int:
        try:
            return work()
        finally:
            os.write(write, str(follow.seen).encode())

    number = child(counted, follow)
    os.close(write)
    with os.fdopen(read) as stream:
        told = stream.read()
    waited(number)
    return int(told or 1)


def loaded(*words: str) -> None:
    """Do a command in this process, so that what is forked from it need load nothing."""
    silent = io.StringIO()
    with contextlib.suppress(SystemExit), contextlib.redirect_stdout(silent), contextlib.redirect_stderr(silent):
        cli(words, prog_name="keyproof")


class Killer:
    """Runs some work again and again and ends it at other moments each time, all within the first `share` of a run.

    `prepare` is done before each.
    """

    def __init__(
        self, work: Work, chance: random.Random, prepare: Callable[[], object] = lambda: None, share: float = 1
    ) -> None:
        self.work, self.chance, self.prepare = work, chance, prepare
        prepare()
        began = time.monotonic()
        waited(child(work))
        self.lasts = (time.monotonic() - began) * share
        prepare()
        self.lines = max(1, int(lines_of(work) * share))
        self.killed = Counter[str]()

    def kill(self) -> None:
        """Run once and end it, if it has not ended by itself."""
        self.prepare()
        if self.chance.random() < 0.5:
            status = waited(child(self.work, Lines(self.chance.randint(1, self.lines), died)))
            manner = "before a line"
        else:
            number = child(self.work)
            time.sleep(self.chance.uniform(0, 1.1) * self.lasts)
            os.kill(number, signal.SIGKILL)  # a process that has ended can be told so until it is waited for
            status = waited(number)
            manner = "after a while"
        self.killed[manner if status == -signal.SIGKILL else "ended before"] += 1

    def told(self) -> str:
        """Say how often which manner of death came."""
        return ", ".join(f"{count:,} {manner}" for manner, count in sorted(self.killed.items()))


class Told:
    """What the trials found."""

    def __init__(self) -> None:
        self.faults: list[str] = []
        self.rows: list[tuple[str, str, str]] = []

    def holds(self, true: bool, what: str) -> None:
        """Note what does not hold."""
        if not true:
            self.faults.append(what)

    def row(self, trial: str, times: str, came: str) -> None:
        """Note what came of a trial."""
        self.rows.append((trial, times, came))


def said(came: Counter[str]) -> str:
    """Say how often what came."""
    return ", ".join(f"{what}: {count:,}" for what, count in came.items())
