"""Where work is done: in this process, in several on this machine, or on a cluster; all are `concurrent.futures`."""

import hashlib
import os
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, Future
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from .garbage import keep_loaded
from .options import Options

if TYPE_CHECKING:  # with one file no processes are made
    from concurrent.futures import ProcessPoolExecutor

ORPHANED = 0.5  # seconds between two looks whether the process that gives the work still lives
POLL = 0.1  # seconds after which a wait looks for an interrupt where the system does not wake it

T = TypeVar("T")


class NoCluster(ValueError):
    """The cluster cannot be used; the message says why and what to do."""


class InProcess(Executor):
    """Does its work at once, in a thread of its own: a search in C would keep this one from answering an interrupt."""

    def submit(self, fn: Callable[..., T], /, *args: Any, **kwargs: Any) -> "Future[T]":
        """Do some work and return what came of it."""
        done: Future[T] = Future()

        def run() -> None:
            try:
                done.set_result(fn(*args, **kwargs))
            except BaseException as error:
                done.set_exception(error)

        thread = threading.Thread(target=run, daemon=True)
        thread.start()
        while thread.is_alive():
            thread.join(POLL)
        return done


def cluster(address: str) -> Executor:
    """Return the workers of a Dask cluster; NoCluster where there is none or where they run another keyproof."""
    try:
        import distributed
    except ModuleNotFoundError as missing:
        if (missing.name or "").partition(".")[0] not in ("distributed", "dask"):
            raise
        raise NoCluster("a cluster is reached by the extra: pip install 'keyproof[cluster]'") from None
    try:
        client: Any = distributed.Client(address, timeout=10, set_as_default=False)  # type: ignore[no-untyped-call]
    except (OSError, ValueError, TimeoutError) as fault:
        raise NoCluster(f"no cluster answers at {address}: {fault}") from None
    found: dict[str, object] = client.run(code_version, on_error="return")
    others = sorted(place for place, told in found.items() if told != _expected())
    if others or not found:
        client.close()
        what = f"another keyproof, or none, runs on {', '.join(others)}" if others else "it has no worker"
        raise NoCluster(f"the cluster at {address} cannot be used: {what}")
    executor: Executor = client.get_executor(pure=False, retries=3)
    return executor


def _expected() -> str:
    return code_version()


@cache
def code_version() -> str:
    """Return a digest of this keyproof: of its version and of every line of its Python and its grammars."""
    from importlib.metadata import version

    digest = hashlib.sha256(version("keyproof").encode())
    here = Path(__file__).parent
    for folder in ("linter", "grammar", "rules"):
        root = here if folder == "linter" else Path(sys.modules[f"keyproof.{folder}"].__path__[0])
        for path in sorted(root.rglob("*")):
            if path.suffix in (".py", ".lark", ".txt"):
                digest.update(path.relative_to(root).as_posix().encode())
                digest.update(path.read_bytes())
    return digest.hexdigest()[:16]


def processes(jobs: int) -> "ProcessPoolExecutor":
    """Return processes of this machine; from each an interrupt of the keyboard is kept."""
    import multiprocessing
    from concurrent.futures import ProcessPoolExecutor

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


def submit(executor: Executor, work: Callable[..., T], *given: Any) -> "Future[T]":
    """Hand out work; processes that are started for it are kept from an interrupt."""
    with _interrupts_held():  # a pool starts a process when it is given work
        return executor.submit(work, *given)


def outcome(done: "Future[T]") -> T:
    """Wait for what comes of some work, and return it or raise what it raised.

    A wait without an end can miss an interrupt that comes as it begins, and then nobody wakes it.
    """
    from concurrent.futures import wait

    while not done.done():
        wait((done,), POLL)
    return done.result()


def stop(executor: Executor) -> None:
    """End what an executor is at, at once; processes of this machine too."""
    from concurrent.futures import ProcessPoolExecutor

    if isinstance(executor, ProcessPoolExecutor):
        for process in list((executor._processes or {}).values()):
            process.terminate()
    # Waiting takes no time now, and spares the interpreter a race with the thread of the pool as it exits.
    executor.shutdown(wait=True, cancel_futures=True)


def _begin() -> None:
    """Let the first process alone answer an interrupt from the keyboard; never search for garbage what is loaded."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_outlive_nobody, args=(os.getppid(),), daemon=True).start()
    keep_loaded()


def _outlive_nobody(parent: int) -> None:
    """End this process when the one that began it is gone: killed, it could not say so, and this one would wait on."""
    while os.getppid() == parent:
        time.sleep(ORPHANED)
    os._exit(1)


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
