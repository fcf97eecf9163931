"""A report in a file that goes on where an earlier run ended, however that run ended.

The lines of a report stand in the order of the paths, so what an earlier run has done is its beginning. Of that as
much is kept as is whole, was made by the same code with the same options, and is about files that have not changed;
the rest is cut off and done anew.
"""

import json
import os
from collections.abc import Iterable, Iterator
from itertools import chain
from typing import Any, BinaryIO

from .pieces import Piece
from .reports.lines import lines
from .results import FileResult
from .sources import STANDARD_INPUT
from .stamps import made_of
from .tally import Tally

Task = Piece | FileResult


class Busy(OSError):
    """Another run writes to the same file."""


class Journal:
    """The lines of a report in a file. OSError where it cannot be read or written."""

    def __init__(self, path: str, run: str) -> None:
        self.run = run
        self.kept = 0  # pieces that an earlier run has done
        self._numbers: dict[str, int] = {}  # of the next piece of the file under way
        self._stream: BinaryIO = open(path, "a+b")  # noqa: SIM115  # until `close`
        _lock(self._stream)

    def left(self, tasks: Iterable[Task], tally: Tally, *, anew: bool = False) -> Iterator[Task]:
        """Return the tasks that are still to be done, once the tally has counted those that are done.

        All are done `anew` where more is asked for than lines.
        """
        self._stream.seek(0)
        whole, waiting = 0, iter(tasks)
        for end, done in self._done() if not anew else ():
            task = next(waiting, None)
            if task is None:
                break
            if not self._is(task, done):
                waiting = chain([task], waiting)
                break
            tally.add_values(done["counts"])
            self._numbers = {done["done"]: done["piece"] + 1}
            whole, self.kept = end, self.kept + 1
        self._stream.seek(whole)
        self._stream.truncate()
        return waiting

    def _done(self) -> Iterator[tuple[int, dict[str, Any]]]:
        """Yield the lines that end a piece, each with where it ends in the file, as far as all lines are whole."""
        place = 0
        for line in self._stream:
            place += len(line)
            try:
                told = json.loads(line) if line.endswith(b"\n") else None
            except ValueError:
                return
            if not isinstance(told, dict):
                return
            if "done" in told:
                if not {"piece", "made_of", "error", "run", "counts"} <= told.keys():
                    return
                yield place, told

    def _is(self, task: Task, done: dict[str, Any]) -> bool:
        """Tell whether a task is what was done, and would come to the same."""
        number = 0 if isinstance(task, FileResult) else task.number
        if (task.path, number, self.run) != (done["done"], done["piece"], done["run"]):
            return False
        if isinstance(task, FileResult):
            return bool(task.error == done["error"])
        if task.path == STANDARD_INPUT:
            return False
        try:
            return bool(done["made_of"] == made_of(task.path, task.data if task.data is not None else _read(task.path)))
        except OSError:
            return bool(done["made_of"] == "" and done["error"] is not None)

    def add(self, result: FileResult) -> None:
        """Write the lines of one result; in order, each whole before the next begins."""
        number = self._numbers.get(result.path, 0)
        self._numbers = {result.path: number + 1}
        self._stream.write("".join(lines(result, number, self.run)).encode())
        self._stream.flush()

    def close(self) -> None:
        """End the report; all of it is on the disk then."""
        os.fsync(self._stream.fileno())
        self._stream.close()


def _read(path: str) -> bytes:
    with open(path, "rb") as stream:
        return stream.read()


def _lock(stream: BinaryIO) -> None:
    """Keep other runs from the file as long as this one lives."""
    try:
        import fcntl
    except ModuleNotFoundError:  # on Windows a file that is open for writing is safe from others' truncation only
        return
    try:
        fcntl.lockf(stream, fcntl.LOCK_EX | fcntl.LOCK_NB)  # which no forked process holds on to
    except OSError:
        stream.close()
        raise Busy(11, "another run of keyproof is writing to it") from None
