"""How far a run has got, shown on a terminal once the run takes over a second."""

import os
import sys
import threading
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from types import TracebackType
from typing import TYPE_CHECKING, Protocol, TypeVar

if TYPE_CHECKING:
    pass

DELAY = 1.0  # seconds
SLOWLY = 10.0  # seconds between two lines where lines stay

T = TypeVar("T")


class _Display(Protocol):
    """What shows how much is done."""

    def show(self, done: int, total: int, detail: str) -> None:
        """Show the state of the run."""

    def hide(self) -> None:
        """Leave the terminal to others until the next `show`."""


class Progress:
    """A count on stderr, gone when the run ends; nothing at all where stderr is no terminal.

    `doing` and `things` are the words around it: "checking 1/2 files". Where the terminal is to get no
    escape sequences (NO_COLOR is set, TERM is "dumb") the state is said in plain lines, now and then.
    """

    def __init__(self, total: int, doing: str = "checking", things: str = "files") -> None:
        self._total = total
        self._words = (doing, things)
        self._done = 0
        self._detail = ""
        self._lock = threading.RLock()
        self._display: _Display | None = None
        self._timer = threading.Timer(DELAY, self._show)
        self._timer.daemon = True
        self._ended = False

    def __enter__(self) -> "Progress":
        if sys.stderr.isatty():
            self._timer.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._timer.cancel()
        with self._lock:
            if self._display is not None:
                self._display.hide()
            self._ended = True  # a timer that has fired already shows nothing

    def advance(self) -> None:
        """Count one thing as done."""
        with self._lock:
            self._done += 1
            self._detail = ""
            self._refresh()

    def over(self, things: Iterable[T]) -> Iterator[T]:
        """Count things as done as they come, with the display hidden while one of them is dealt with."""
        for thing in things:
            with self.hidden():
                yield thing
            self.advance()

    def within(self, done: int, total: int) -> None:
        """Tell how far the thing under way has got, in puzzles: it may be long."""
        with self._lock:
            self._detail = f"{done} of {total} puzzles" if total > 1 else ""
            self._refresh()

    @contextmanager
    def hidden(self) -> Iterator[None]:
        """Clear the display while something else is written to the terminal."""
        with self._lock:
            if self._display is not None:
                self._display.hide()
            yield
            self._refresh()

    def _refresh(self) -> None:
        if self._display is not None:
            self._display.show(self._done, self._total, self._detail)

    def _show(self) -> None:
        plain = bool(os.environ.get("NO_COLOR")) or os.environ.get("TERM") == "dumb"
        with self._lock:
            if not self._ended:
                self._display = _Lines(*self._words) if plain else _Bar(*self._words)
                self._refresh()


class _Lines:
    """Whole lines, seldom, since they stay on the screen."""

    def __init__(self, doing: str, things: str) -> None:
        self._words = (doing, things)
        self._due = True
        self._timer: threading.Timer | None = None

    def show(self, done: int, total: int, detail: str) -> None:
        if not self._due:
            return
        doing, things = self._words
        sys.stderr.write(f"{doing} {done}/{total} {things}{f', {detail}' if detail else ''}\n")
        sys.stderr.flush()
        self._due = False
        self._timer = threading.Timer(SLOWLY, self._again)
        self._timer.daemon = True
        self._timer.start()

    def _again(self) -> None:
        self._due = True

    def hide(self) -> None:
        """Leave what was written."""


class _Bar:
    """One line that is written over, and wiped in the end."""

    def __init__(self, doing: str, things: str) -> None:
        from rich.console import Console
        from rich.progress import BarColumn, MofNCompleteColumn, TextColumn, TimeElapsedColumn
        from rich.progress import Progress as Bar

        self._bar: Bar = Bar(
            TextColumn(doing),
            BarColumn(style="default", complete_style="bold", finished_style="bold", pulse_style="default"),
            MofNCompleteColumn(),
            TextColumn(f"{things}{{task.fields[detail]}},"),
            TimeElapsedColumn(),
            console=Console(stderr=True),
            transient=True,
            redirect_stdout=False,
            redirect_stderr=False,
        )
        self._task = self._bar.add_task("", total=None, detail="")
        self._running = False

    def show(self, done: int, total: int, detail: str) -> None:
        self._bar.update(self._task, completed=done, total=total, detail=f" ({detail})" if detail else "")
        if not self._running:
            self._bar.start()
            self._running = True

    def hide(self) -> None:
        if self._running:
            self._bar.stop()
            self._running = False


Told = Callable[[int, int], None]
"""Is told how many of how many puzzles of a file are done."""
