"""The processes that check files: forked from one that has loaded everything, or started fresh."""

import signal
import sys
import threading
from concurrent.futures import Future
from pathlib import Path

import pytest
from keyproof.linter import executors, jobs
from keyproof.linter.options import Options
from keyproof.linter.pieces import Piece
from keyproof.linter.pipeline import check_text

from .conftest import FAULTY, SOUND

FORKS = pytest.mark.skipif(sys.platform != "linux", reason="processes are forked on Linux only")


def test_the_puzzle_that_loads_everything_is_sound_and_understood() -> None:
    result = check_text("", executors._PUZZLE, Options())
    assert result.findings == ()
    assert [(puzzle.verdict, puzzle.checked) for puzzle in result.puzzles] == [("sound", 5)]


@pytest.mark.parametrize("threads", [pytest.param(1, marks=FORKS), 2])
def test_processes_of_either_kind_say_what_this_one_says(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, threads: int
) -> None:
    paths = []
    for number in range(10):
        (tmp_path / f"{number}.txt").write_text(FAULTY if number % 2 else SOUND)
        paths.append(str(tmp_path / f"{number}.txt"))
    alone = list(jobs.results(paths, Options(fresh=True), 1))
    monkeypatch.setattr(executors.threading, "active_count", lambda: threads)
    assert list(jobs.results(paths, Options(fresh=True), 2)) == alone


@FORKS
def test_a_forked_process_has_everything_loaded(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(executors.threading, "active_count", lambda: 1)
    pool = executors.processes(1)
    try:
        loaded = pool.submit(eval, "list(__import__('sys').modules)").result()
        assert {"keyproof.linter.pipeline", "keyproof.rules.checks.retro", "keyproof.rules.reasons.judging"} <= {
            *loaded
        }
        ignored = pool.submit(signal.getsignal, signal.SIGINT).result()
        assert ignored is signal.SIG_IGN
    finally:
        executors.stop(pool)


def test_files_are_checked_when_the_processes_died_before_they_were_given_any(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text(SOUND)
    work = jobs._Work(iter([Piece(str(tmp_path / "a.txt"))]), Options(fresh=True), 1, lambda: executors.processes(1))
    with pytest.raises(jobs.BrokenExecutor):
        work.pool.submit(signal.raise_signal, signal.SIGKILL).result()
    work.hand_out()
    assert [result.error for result in jobs._pooled(work)] == [None]


def test_a_wait_hears_an_interrupt_that_wakes_nobody() -> None:
    # An interrupt that another thread takes leaves a wait asleep, as one does that comes just as the wait begins.
    pending: Future[str] = Future()
    heard = threading.Event()

    def interrupt() -> None:
        signal.pthread_kill(threading.get_ident(), signal.SIGINT)
        heard.wait(20)
        pending.set_result("too late")

    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    elsewhere = threading.Thread(target=interrupt)
    try:
        threading.Timer(0.1, elsewhere.start).start()
        with pytest.raises(KeyboardInterrupt):
            executors.outcome(pending)
        assert not pending.done()
    finally:
        heard.set()
        elsewhere.join()
        signal.signal(signal.SIGINT, before)
