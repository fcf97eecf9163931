"""The run of `keyproof check`: results in order, into one of the reports."""

import hashlib
import sys
from collections.abc import Iterator, Sequence
from concurrent.futures import Executor
from contextlib import closing

import click
from keyproof.rules.finding import Level
from msgspec import Struct
from msgspec.structs import replace

from .executors import NoCluster, cluster, code_version
from .exits import Exit
from .jobs import Task, in_order, usual_jobs
from .journal import Journal
from .options import Options
from .pieces import Piece, pieces, stretches_of
from .progress import Progress
from .results import FileResult
from .stamps import content
from .streams import REPORTS, LinesReport, Report
from .tally import Tally


class Asked(Struct, frozen=True):
    """How the results of a run are to be got and given.

    `form` is how to report, `output` the file of a report that goes on where an earlier run ended, `address` that of a
    cluster, `jobs` the number of processes, `bar` the lowest level that makes the exit status 1. `marked` is where the
    copy with comments of the one file goes.
    """

    form: str
    bar: Level
    jobs: int | None = None
    output: str | None = None
    address: str | None = None
    marked: str | None = None


def check_all(found: Sequence[str | FileResult], options: Options, asked: Asked) -> Exit:
    """Check files and report what was found. Raises click's exceptions for what cannot be used."""
    tally = Tally()
    workers = _workers(asked.address)
    waiting: Iterator[Task] = pieces(found, options)
    if asked.form == "json":  # it has one entry for each file
        waiting = (each if isinstance(each, FileResult) else Piece(each) for each in found)
    run = run_of(options) if asked.form == "jsonl" else ""  # it takes a look at every file of keyproof
    report: Report
    if asked.form != "jsonl":
        report = REPORTS[asked.form](sys.stdout)
    elif asked.output is None:
        report = LinesReport(sys.stdout, run)
    else:
        try:
            journal = Journal(asked.output, run)
            waiting = journal.left(waiting, tally, anew=asked.marked is not None)
        except OSError as fault:
            raise click.ClickException(f"{asked.output} cannot be written: {fault.strerror or fault}") from None
        if journal.kept:
            click.echo(f"keyproof: {journal.kept} of an earlier run are kept in {asked.output}", err=True)
        report = LinesReport(sys.stdout, run, journal)
    asked = replace(asked, jobs=asked.jobs or jobs_for(found, options))
    return _run(waiting, len(found), options, asked, report, tally, workers)


def run_of(options: Options) -> str:
    """Return what stands for this code and these options: two runs with the same come to the same."""
    told = hashlib.sha256(f"{code_version()} {replace(options, fresh=False)}".encode())
    told.update(content(options.positions))
    return told.hexdigest()[:16]


def _workers(address: str | None) -> Executor | None:
    if address is None:
        return None
    try:
        return cluster(address)
    except NoCluster as fault:
        raise click.ClickException(str(fault)) from None


def _run(
    waiting: Iterator[Task],
    files: int,
    options: Options,
    asked: Asked,
    report: Report,
    tally: Tally,
    workers: Executor | None,
) -> Exit:
    ended, failed = tally.files + tally.unreadable, False
    try:
        progress = Progress(files)
        checked = in_order(waiting, options, asked.jobs or 1, progress.within, workers)
        with progress, closing(checked):
            for result in checked:
                tally.add(result)
                ended += result.last
                with progress.hidden():
                    report.add(result)
                    if asked.marked is not None and result.error is None:
                        from .marked import write_copy

                        failed = not write_copy(result, asked.marked, options.reading_as) or failed
                if result.last:
                    progress.advance()
    finally:
        tally.left = files - ended
        report.end(tally)
    return Exit.unreadable if failed else tally.status(asked.bar)


def jobs_for(found: Sequence[str | FileResult], options: Options) -> int:
    """Return how many processes to use when nobody says: a large file counts as several."""
    return usual_jobs(sum(stretches_of(each, options) for each in found))
