"""The reports of a check, written as the results come."""

import sys
from typing import IO

from .journal import Journal
from .reports import json, reading, text
from .reports.lines import lines
from .reports.sarif import Log
from .reports.terminal import Writer
from .results import FileResult
from .tally import Tally


class TextReport:
    """Prints results for people as they come."""

    def __init__(self, stream: IO[str]) -> None:
        self._out = Writer(stream)
        self._err = Writer(sys.stderr)

    def add(self, result: FileResult) -> None:
        """Print one file's findings, or to stderr why there are none to print."""
        if result.error is not None:
            self._err.write([text.failure(result)])
        else:
            self._out.write(reading.report(result))
            self._out.write(text.report(result))

    def end(self, tally: Tally) -> None:
        """Print the summary."""
        if (line := text.summary(tally)).text:
            self._out.write([line])


class JsonReport:
    """Prints results for programs as they come; what was printed by an interrupt is whole."""

    def __init__(self, stream: IO[str]) -> None:
        self._stream = stream
        self._first = True
        stream.write(json.opening())

    def add(self, result: FileResult) -> None:
        """Print one file's entry, and to stderr why it could not be checked."""
        self._stream.write(json.entry(result, first=self._first))
        self._stream.flush()
        self._first = False
        if result.error is not None:
            Writer(sys.stderr).write([text.failure(result)])

    def end(self, tally: Tally) -> None:
        """Close the report."""
        self._stream.write(json.closing())


class SarifReport:
    """Prints results for code scanning as they come; what was printed by an interrupt is whole."""

    def __init__(self, stream: IO[str]) -> None:
        self._stream = stream
        self._log = Log()
        stream.write(self._log.opening())

    def add(self, result: FileResult) -> None:
        """Print one file's results, and to stderr why it could not be checked."""
        self._stream.write(self._log.entry(result))
        self._stream.flush()
        if result.error is not None:
            Writer(sys.stderr).write([text.failure(result)])

    def end(self, tally: Tally) -> None:
        """Close the report."""
        self._stream.writelines(self._log.closing(complete=not tally.left))


class LinesReport:
    """Prints results as lines of JSON as they come, or into the file of a journal."""

    def __init__(self, stream: IO[str], run: str, journal: Journal | None = None) -> None:
        self._stream, self._run, self._journal = stream, run, journal
        self._path, self._number = "", 0

    def add(self, result: FileResult) -> None:
        """Print the lines of one result, and to stderr why a file could not be checked."""
        if self._journal is not None:
            self._journal.add(result)
        else:
            self._number = self._number + 1 if result.path == self._path else 0
            self._path = result.path
            self._stream.writelines(lines(result, self._number, self._run))
            self._stream.flush()
        if result.error is not None:
            Writer(sys.stderr).write([text.failure(result)])

    def end(self, tally: Tally) -> None:
        """End the file; of one that an interrupt ended all lines are whole."""
        if self._journal is not None:
            self._journal.close()


Report = TextReport | JsonReport | SarifReport | LinesReport

REPORTS: dict[str, type[TextReport | JsonReport | SarifReport]] = {
    "text": TextReport,
    "json": JsonReport,
    "sarif": SarifReport,
}
