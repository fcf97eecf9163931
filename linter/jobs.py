"""Check many files, in this process or over several, and hand the results on in order."""

import os
import traceback
from collections import deque
from collections.abc import Callable, Generator, Iterable, Iterator
from concurrent.futures import BrokenExecutor, Executor, Future
from functools import partial
from typing import TypeVar

from keyproof.grammar.spans import Span
from msgspec.structs import replace

from . import executors
from .choices import path_beside
from .companion import beside
from .executors import InProcess, outcome, stop, submit
from .options import Options
from .pieces import NOTE, Piece
from .progress import Told
from .results import FileResult, Remark
from .sources import kind_of

FEW = 4  # fewer files are checked sooner than a pool of processes has started
WINDOW = 4  # pieces under way for each process: enough to keep it busy, few enough to bound memory

T = TypeVar("T")

Task = Piece | FileResult


def usual_jobs(files: int) -> int:
    """Return how many processes to use when nobody says."""
    return 1 if files < FEW else min(os.cpu_count() or 1, files // 2)


def results(
    paths: Iterable[str | FileResult], options: Options, jobs: int, told: Told | None = None
) -> Generator[FileResult, None, None]:
    """Yield the result of every path, in order. A result among the paths is handed on as it is.

    `told` hears of the puzzles of a file where it is checked in this process.
    """
    tasks = (path if isinstance(path, FileResult) else Piece(path) for path in paths)
    return in_order(tasks, options, jobs, told)


def in_order(
    tasks: Iterable[Task], options: Options, jobs: int, told: Told | None = None, cluster: Executor | None = None
) -> Generator[FileResult, None, None]:
    """Yield what comes of each task, in their order, whoever was quick."""
    if cluster is not None:
        sent = (_with_data(task, options) for task in tasks)
        return _on_cluster(_Work(sent, options, _width(cluster), lambda: cluster))
    if jobs <= 1:
        return _one_by_one(tasks, options, told)
    work = _Work(iter(tasks), options, jobs, partial(executors.processes, jobs))
    try:
        work.hand_out()  # now: `processes` forks only before whoever asks for the results has begun a thread
    except BaseException:
        stop(work.pool)
        raise
    return _pooled(work)


def _one_by_one(tasks: Iterable[Task], options: Options, told: Told | None) -> Generator[FileResult, None, None]:
    for task in tasks:
        yield task if isinstance(task, FileResult) else aside(partial(guarded, task, options, told))


def guarded(piece: Piece, options: Options, told: Told | None = None) -> FileResult:
    """Check one file or a piece of it; a fault of keyproof itself becomes the file's error."""
    from . import cache
    from .pipeline import check_file, check_piece

    try:
        cache.begin(fresh=options.fresh)
        if piece.data is None:
            return check_file(piece.path, options, told)
        result = check_piece(piece.path, piece.data, piece.first_line, options)
        if piece.last and piece.number and result.error is None:
            result = replace(result, remarks=(*result.remarks, Remark(Span(0, 0), NOTE)))
        return replace(result, last=piece.last, first_line=piece.first_line)
    except Exception as error:
        return _failed(piece, own_fault(error))


def _failed(piece: Piece, why: str) -> FileResult:
    message = f"keyproof itself failed on this file, please report: {why}"
    return FileResult(piece.path, error=message, error_line=piece.first_line, last=piece.last)


def aside(work: Callable[[], T]) -> T:
    """Do some work in a thread of its own: a search in C would keep this one from answering an interrupt."""
    return InProcess().submit(work).result()


def own_fault(error: BaseException) -> str:
    """Describe an exception in one line, with the place in keyproof it came from, for a report to its makers."""
    frames = traceback.extract_tb(error.__traceback__)
    place = f" ({os.path.basename(frames[-1].filename)}:{frames[-1].lineno})" if frames else ""
    words = " ".join(str(error).split())
    return f"{type(error).__name__}{f': {words}' if words else ''}{place}"


class _Work:
    """The tasks that wait and those under way, with whoever does them.

    No more is under way than `WINDOW` tasks for each of `jobs`, so that a dear one at the front, for which the
    results behind it wait, never makes memory grow; the others go on beside it.
    """

    def __init__(self, waiting: Iterator[Task], options: Options, jobs: int, begin: Callable[[], Executor]) -> None:
        self.waiting, self.options, self.jobs, self.begin = waiting, options, jobs, begin
        self.again: deque[Task] = deque()  # tasks that were lost with the process that did them
        self.under_way: deque[tuple[Piece, Future[FileResult]] | FileResult] = deque()
        self.pool = begin()

    def hand_out(self) -> None:
        """Give out as much as can be taken."""
        while len(self.under_way) < self.jobs * WINDOW:
            task = self.again.popleft() if self.again else next(self.waiting, None)
            if task is None:
                return
            if isinstance(task, FileResult):
                self.under_way.append(task)
                continue
            try:
                self.under_way.append((task, submit(self.pool, guarded, task, self.options)))
            except BrokenExecutor:
                self.again.appendleft(task)
                if self.under_way:
                    return  # which of these did it is found when its result is asked for
                stop(self.pool)
                self.begin_anew()

    def begin_anew(self) -> None:
        """Put back what is under way, and take new processes."""
        self.again.extendleft(e if isinstance(e, FileResult) else e[0] for e in reversed(self.under_way))
        self.under_way.clear()
        self.pool = self.begin()


def _pooled(work: _Work) -> Generator[FileResult, None, None]:
    try:
        while work.under_way:
            entry = work.under_way.popleft()
            if isinstance(entry, FileResult):
                yield entry
            else:
                try:
                    yield outcome(entry[1])
                except BrokenExecutor:
                    # One process died, and all that was under way went with it: which task did it is
                    # found by giving the next one a process of its own; the rest starts anew.
                    stop(work.pool)
                    yield _alone(entry[0], work.options)
                    work.begin_anew()
            work.hand_out()
    finally:
        stop(work.pool)


def _alone(piece: Piece, options: Options) -> FileResult:
    pool = executors.processes(1)
    try:
        return outcome(submit(pool, guarded, piece, options))
    except BrokenExecutor:
        return _failed(piece, "the process that checked it died")
    finally:
        stop(pool)


# -- a cluster, whose workers share no file with this machine


def _with_data(task: Task, options: Options) -> Task:
    """Read a file here, since no worker can; what cannot be read says so here as well."""
    if isinstance(task, FileResult) or task.data is not None:
        return task
    alone = beside(task.path) is None and not os.path.exists(path_beside(task.path))
    if (options.reading_as or kind_of(task.path)) is None or not alone:
        return guarded(task, options)  # it says what is wrong with its name, or needs another file
    try:
        with open(task.path, "rb") as stream:
            return replace(task, data=stream.read())
    except OSError as fault:
        return FileResult(task.path, error=(fault.strerror or str(fault)))


def _width(cluster: Executor) -> int:
    client = getattr(cluster, "_client", None)
    return max(1, sum(client.nthreads().values())) if client is not None else 1


def _on_cluster(work: _Work) -> Generator[FileResult, None, None]:
    try:
        work.hand_out()
        while work.under_way:
            entry = work.under_way.popleft()
            if isinstance(entry, FileResult):
                yield entry
            else:
                try:
                    yield outcome(entry[1])
                except Exception as error:  # a worker was lost, and others after it that tried the same
                    yield _failed(entry[0], own_fault(error))
            work.hand_out()
    finally:
        for entry in work.under_way:
            if not isinstance(entry, FileResult):
                entry[1].cancel()
