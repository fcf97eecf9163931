"""The run of `keyproof check --repair`: a diff for every file with repairs, and the files themselves on demand."""

import sys
from collections.abc import Iterable
from contextlib import closing
from functools import partial

import click
from keyproof.rules.finding import Level

from . import repair
from .exits import Exit
from .jobs import aside, results
from .options import Options
from .reports import text
from .reports.terminal import Writer, escape
from .results import FileResult
from .tally import Tally

_NOT_REWRITTEN = "note: a manuscript is not rewritten; 'check FILE --marked OUT' offers the repairs in a copy"


def mend(found: Iterable[str | FileResult], options: Options, jobs: int, bar: Level, *, write: bool) -> Exit:
    """Check files, print the repairs as a unified diff, and with `write` put them into the files.

    The status is that of the findings in the files as they stand afterwards.
    """
    count, files, failed = 0, 0, False
    tally = Tally()
    errors = Writer(sys.stderr)
    with closing(results(found, options, jobs)) as checked:
        for result in checked:
            if result.error is not None:
                tally.add(result)
                errors.write([text.failure(result)])
                continue
            if result.manuscript is not None:
                tally.add(result)
                if any(placed.finding.repair for placed in result.findings):
                    click.echo(f"{escape(result.path)}: {_NOT_REWRITTEN}", err=True)
                continue
            mended = aside(partial(repair.repaired, result, options))
            if mended.changed:
                _show(mended)
                if write and not _written(mended):
                    failed = True
                    tally.add(result)
                    continue
                count, files = count + mended.count, files + 1
            tally.add(mended.result if write else result)
    click.echo(_summary(count, files, tally, write), err=True)
    return Exit.unreadable if failed else tally.status(bar)


def _show(mended: repair.Repaired) -> None:
    for line in repair.diff(mended):
        body = line.rstrip("\r\n")
        click.echo(escape(body) if sys.stdout.isatty() else body, nl=False)
        click.echo(line[len(body) :], nl=False)


def _written(mended: repair.Repaired) -> bool:
    try:
        repair.write(mended)
    except repair.NotWritten as fault:
        click.echo(f"keyproof: error: {escape(str(fault))}", err=True)
        return False
    return True


def _summary(count: int, files: int, tally: Tally, write: bool) -> str:
    left = sum(tally.levels.values())
    if not count:
        return f"Nothing to repair; {left} finding{'' if left == 1 else 's'} without a repair."
    repaired = f"{count} finding{'' if count == 1 else 's'} in {files} file{'' if files == 1 else 's'}"
    if not write:
        return f"Repairs for {repaired}; add --write to put them into the files."
    return f"Repaired {repaired}; {left} left."
