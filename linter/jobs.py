"""Check many files, in this process or over several, and hand the results on in order."""

import multiprocessing
import os
import signal
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
from .results import FileResult

FEW = 4  # fewer files are checked sooner than a pool of processes has started
WINDOW = 4  # files under way for each process: enough to keep it busy, few enough to bound memory

POLL = 0.1  # seconds after which a wait looks for an interrupt where the system does not wake it

T = TypeVar("T")


def usual_jobs(files: int) -> int:
    """Return how many processes to use when nobody says."""
    return 1 if files < FEW else min(os.cpu_count() or 1, files // 2)


def results(paths: Iterable[str | FileResult], options: Options, jobs: int) -> Generator[FileResult, None, None]:
    """Yield the result of every path, in order. A result among the paths is handed on as it is."""
    if jobs <= 1:
        for path in paths:
            yield path if isinstance(path, FileResult) else aside(partial(guarded, path, options))
        return
    yield from _pooled(deque(paths), options, jobs)


def guarded(path: str, options: Options) -> FileResult:
    """Check one file; a fault of keyproof itself becomes the file's error."""
    from . import cache
    from .pipeline import check_file

    try:
        cache.begin(fresh=options.fresh)
        return check_file(path, options)
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


def _pooled(waiting: deque[str | FileResult], options: Options, jobs: int) -> Generator[FileResult, None, None]:
    pool = _pool(jobs)
    under_way: deque[tuple[str, Future[FileResult]] | FileResult] = deque()
    try:
        while waiting or under_way:
            while waiting and len(under_way) < jobs * WINDOW:
                path = waiting.popleft()
                under_way.append(path if isinstance(path, FileResult) else (path, _submit(pool, path, options)))
            entry = under_way.popleft()
            if isinstance(entry, FileResult):
                yield entry
                continue
            try:
                yield entry[1].result()
            except BrokenProcessPool:
                # One process died, and all that was under way went with it: which file did it is
                # found by giving the next one a process of its own; the rest starts anew.
                _stop(pool)
                yield _alone(entry[0], options)
                waiting.extendleft(e if isinstance(e, FileResult) else e[0] for e in reversed(under_way))
                under_way.clear()
                pool = _pool(jobs)
    finally:
        _stop(pool)


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
    # Fresh processes rather than forks: the progress display runs a thread, and a fork would copy its locks.
    return ProcessPoolExecutor(jobs, multiprocessing.get_context("spawn"), initializer=_leave_interrupts)


def _submit(pool: ProcessPoolExecutor, path: str, options: Options) -> Future[FileResult]:
    with _interrupts_held():  # a pool starts a process when it is given work
        return pool.submit(guarded, path, options)


def _stop(pool: ProcessPoolExecutor) -> None:
    """End the processes of a pool at once, whatever they are at."""
    for process in list((pool._processes or {}).values()):
        process.terminate()
    # Waiting takes no time now, and spares the interpreter a race with the thread of the pool as it exits.
    pool.shutdown(wait=True, cancel_futures=True)


def _leave_interrupts() -> None:
    """Let the first process alone answer an interrupt from the keyboard."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)


@contextmanager
def _interrupts_held() -> Iterator[None]:
    """Start processes that an interrupt cannot reach even before `_leave_interrupts` runs in them."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
