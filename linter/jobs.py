"""Check many files, in this process or over several, and hand the results on in order."""

import gc
import multiprocessing
import os
import signal
import sys
import threading
import traceback
from collections import deque
from collections.abc import Callable, Generator, Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from functools import partial
from typing import TypeVar

from .options import Options
from .progress import Told
from .results import FileResult

FEW = 4  # fewer files are checked sooner than a pool of processes has started
WINDOW = 4  # files under way for each process: enough to keep it busy, few enough to bound memory
YOUNG = 10_000  # objects a process makes before they are searched for garbage: a puzzle leaves about a thousand

POLL = 0.1  # seconds after which a wait looks for an interrupt where the system does not wake it

T = TypeVar("T")


def usual_jobs(files: int) -> int:
    """Return how many processes to use when nobody says."""
    return 1 if files < FEW else min(os.cpu_count() or 1, files // 2)


def results(
    paths: Iterable[str | FileResult], options: Options, jobs: int, told: Told | None = None
) -> Generator[FileResult, None, None]:
    """Yield the result of every path, in order. A result among the paths is handed on as it is.

    `told` hears of the puzzles of a file where it is checked in this process.
    """
    if jobs <= 1:
        return _one_by_one(paths, options, told)
    work = _Work(deque(paths), options, jobs)
    work.hand_out()  # now, since `_pool` forks only before whoever asks for the results has begun a thread
    return _pooled(work)


def _one_by_one(
    paths: Iterable[str | FileResult], options: Options, told: Told | None
) -> Generator[FileResult, None, None]:
    for path in paths:
        yield path if isinstance(path, FileResult) else aside(partial(guarded, path, options, told))


def guarded(path: str, options: Options, told: Told | None = None) -> FileResult:
    """Check one file; a fault of keyproof itself becomes the file's error."""
    from . import cache
    from .pipeline import check_file

    try:
        cache.begin(fresh=options.fresh)
        return check_file(path, options, told)
    except Exception as error:
        return FileResult(path, error=f"keyproof itself failed on this file, please report: {own_fault(error)}")


def aside(work: Callable[[], T]) -> T:
    """Do some work in a thread of its own: a search in C would keep this one from answering an interrupt."""
    done: Future[T] = Future()

    def run() -> None:
        try:
            done.set_result(work())
        except BaseException as error:
            done.set_exception(error)

    thread = threading.Thread(target=run, daemon=True)
    thread.start()
    while thread.is_alive():
        thread.join(POLL)
    return done.result()


def own_fault(error: BaseException) -> str:
    """Describe an exception in one line, with the place in keyproof it came from, for a report to its makers."""
    frames = traceback.extract_tb(error.__traceback__)
    place = f" ({os.path.basename(frames[-1].filename)}:{frames[-1].lineno})" if frames else ""
    words = " ".join(str(error).split())
    return f"{type(error).__name__}{f': {words}' if words else ''}{place}"


class _Work:
    """The files that wait and those under way, with the processes that check them."""

    def __init__(self, waiting: deque[str | FileResult], options: Options, jobs: int) -> None:
        self.waiting, self.options, self.jobs = waiting, options, jobs
        self.under_way: deque[tuple[str, Future[FileResult]] | FileResult] = deque()
        self.pool = _pool(jobs)

    def hand_out(self) -> None:
        """Give the processes as much as they can take."""
        while self.waiting and len(self.under_way) < self.jobs * WINDOW:
            path = self.waiting.popleft()
            if isinstance(path, FileResult):
                self.under_way.append(path)
                continue
            try:
                self.under_way.append((path, _submit(self.pool, path, self.options)))
            except BrokenProcessPool:
                self.waiting.appendleft(path)
                if self.under_way:
                    return  # which of these did it is found when its result is asked for
                _stop(self.pool)
                self.begin_anew()

    def begin_anew(self) -> None:
        """Put back what is under way, and take new processes."""
        self.waiting.extendleft(e if isinstance(e, FileResult) else e[0] for e in reversed(self.under_way))
        self.under_way.clear()
        self.pool = _pool(self.jobs)


def _pooled(work: _Work) -> Generator[FileResult, None, None]:
    try:
        while work.under_way:
            entry = work.under_way.popleft()
            if isinstance(entry, FileResult):
                yield entry
            else:
                try:
                    yield entry[1].result()
                except BrokenProcessPool:
                    # One process died, and all that was under way went with it: which file did it is
                    # found by giving the next one a process of its own; the rest starts anew.
                    _stop(work.pool)
                    yield _alone(entry[0], work.options)
                    work.begin_anew()
            work.hand_out()
    finally:
        _stop(work.pool)


def _alone(path: str, options: Options) -> FileResult:
    pool = _pool(1)
    try:
        return _submit(pool, path, options).result()
    except BrokenProcessPool:
        return FileResult(
            path, error="keyproof itself failed on this file, please report: the process that checked it died"
        )
    finally:
        _stop(pool)


def _pool(jobs: int) -> ProcessPoolExecutor:
    # A fork has all that is loaded here. It would copy the locks of other threads too, so where there are
    # some (the progress display, or after a process died) and where forks are not safe, processes start fresh.
    forked = sys.platform == "linux" and threading.active_count() == 1
    if forked:
        _load()
    context = multiprocessing.get_context("fork" if forked else "spawn")
    return ProcessPoolExecutor(jobs, context, initializer=_begin)


def _load() -> None:
    """Load what is loaded with the first puzzle, and let go of what no fork may share."""
    from . import cache
    from .pipeline import check_text

    check_text("", _PUZZLE, Options())
    cache.end()


_PUZZLE = """FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
Mate in two.
1.Kg2! Kh4 2.Re4#, because the king cannot move, 1...h4 2.Rg5#
"""


def _submit(pool: ProcessPoolExecutor, path: str, options: Options) -> Future[FileResult]:
    with _interrupts_held():  # a pool starts a process when it is given work
        return pool.submit(guarded, path, options)


def _stop(pool: ProcessPoolExecutor) -> None:
    """End the processes of a pool at once, whatever they are at."""
    for process in list((pool._processes or {}).values()):
        process.terminate()
    # Waiting takes no time now, and spares the interpreter a race with the thread of the pool as it exits.
    pool.shutdown(wait=True, cancel_futures=True)


def _begin() -> None:
    """Let the first process alone answer an interrupt from the keyboard; never search for garbage what is loaded."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    gc.freeze()
    gc.set_threshold(YOUNG)


@contextmanager
def _interrupts_held() -> Iterator[None]:
    """Start processes that an interrupt cannot reach even before `_begin` runs in them."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
