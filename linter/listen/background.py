"""Work on texts in a thread of its own: the newest text of each document, and only that."""

import threading
from collections.abc import Callable
from typing import Generic, TypeVar

from keyproof.rules.proof.limits import Cancel
from msgspec import Struct, field

from .looks import Cancelled

T = TypeVar("T")


class _Job(Struct, Generic[T]):
    name: str
    what: T
    cancel: Cancel = field(default_factory=Cancel)


class Background(Generic[T]):
    """Does `work(what, cancel)` for the newest `what` of each name.

    What is handed in comes before what is under way: that is cancelled, and taken up again
    afterwards unless it is out of date.
    """

    def __init__(self, work: Callable[[T, Cancel], None]) -> None:
        self._work = work
        self._changed = threading.Condition()
        self._waiting: dict[str, _Job[T]] = {}
        self._current: _Job[T] | None = None
        self._closed = False
        self._thread = threading.Thread(target=self._run, name="keyproof checks", daemon=True)
        self._thread.start()

    def hand_in(self, name: str, what: T) -> None:
        """Take the newest state of something."""
        with self._changed:
            self._waiting = {name: _Job(name, what), **{k: v for k, v in self._waiting.items() if k != name}}
            if self._current is not None:
                self._current.cancel.cancel()
            self._changed.notify()

    def drop(self, name: str) -> None:
        """Forget something."""
        with self._changed:
            self._waiting.pop(name, None)
            if self._current is not None and self._current.name == name:
                self._current.cancel.cancel()
                self._current = None

    def close(self) -> None:
        """Stop, and wait until the thread has ended."""
        with self._changed:
            self._closed = True
            self._waiting.clear()
            if self._current is not None:
                self._current.cancel.cancel()
            self._changed.notify()
        self._thread.join()

    def _run(self) -> None:
        while True:
            with self._changed:
                self._changed.wait_for(lambda: self._waiting or self._closed)
                if self._closed:
                    return
                job = self._waiting.pop(next(iter(self._waiting)))
                self._current = job
            try:
                self._work(job.what, job.cancel)
            except Cancelled:
                with self._changed:
                    if self._current is job and not self._closed and job.name not in self._waiting:
                        self._waiting[job.name] = _Job(job.name, job.what)
            finally:
                with self._changed:
                    self._current = None
