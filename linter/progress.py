"""How far a run has got, shown on a terminal once the run takes over a second."""

import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import TracebackType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.progress import Progress as Bar

DELAY = 1.0  # seconds


class Progress:
    """A count of files on stderr, gone when the run ends; nothing at all where stderr is no terminal."""

    def __init__(self, total: int) -> None:
        self._total = total
        self._done = 0
        self._lock = threading.RLock()
        self._bar: Bar | None = None
        self._timer = threading.Timer(DELAY, self._show)
        self._timer.daemon = True

    def __enter__(self) -> "Progress":
        if sys.stderr.isatty():
            self._timer.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._timer.cancel()
        with self._lock:
            if self._bar is not None:
                self._bar.stop()
            self._total = 0  # a timer that has fired already finds nothing to show

    def advance(self) -> None:
        """Count one file as done."""
        with self._lock:
            self._done += 1
            if self._bar is not None:
                self._bar.update(self._bar.task_ids[0], completed=self._done)

    @contextmanager
    def hidden(self) -> Iterator[None]:
        """Clear the display while something else is written to the terminal."""
        with self._lock:
            if self._bar is not None:
                self._bar.stop()
            yield
            if self._bar is not None:
                self._bar.start()

    def _show(self) -> None:
        from rich.console import Console
        from rich.progress import BarColumn, MofNCompleteColumn, TextColumn, TimeElapsedColumn
        from rich.progress import Progress as Bar

        with self._lock:
            if self._total == 0:
                return
            self._bar = Bar(
                TextColumn("checking"),
                BarColumn(style="default", complete_style="bold", finished_style="bold", pulse_style="default"),
                MofNCompleteColumn(),
                TextColumn("files,"),
                TimeElapsedColumn(),
                console=Console(stderr=True),
                transient=True,
                redirect_stdout=False,
                redirect_stderr=False,
            )
            self._bar.add_task("", total=self._total, completed=self._done)
            self._bar.start()
