"""The command `keyproof survey`."""

import sys
from collections.abc import Iterator
from contextlib import closing
from typing import TYPE_CHECKING, Any

import click

from .arguments import effort_of_proofs, processes, settings_file, tell_if_slow
from .exits import Exit

if TYPE_CHECKING:
    from .options import Options
    from .results import FileResult

_REPORT = ".jsonl"


@click.command()
@click.argument("paths", nargs=-1, required=True, metavar="PATH...", type=click.Path())
@click.option("--as", "form", type=click.Choice(["text", "json", "page"]), default="text", help="How to report.")
@click.option(
    "--output", "-o", metavar="FILE", type=click.Path(), help="The file of a page (.html) or of JSON (.json)."
)
@effort_of_proofs
@processes
@settings_file
def survey(
    paths: tuple[str, ...],
    form: str,
    output: str | None,
    effort: float | None,
    jobs: int | None,
    settings_file: str | None,
) -> int:
    """Tell what an archive holds: puzzles by task and verdict, unsound and unproved ones, repeated positions.

    A path that ends in .jsonl is a report of `keyproof check --as jsonl`, which is counted as it is; everything else
    is checked. Positions count as repeated also where they are turned, mirrored or in the other colours.

    Exit status: 0 told, 2 a path could not be checked, or the page not be written.
    """
    from .reports import survey as report
    from .survey import Survey
    from .writing import NoTarget, check_target

    if form == "page" and output is None:
        raise click.UsageError("a page is written to a file: --as page --output FILE.html")
    if output is not None:
        try:
            check_target(output, (".html", ".htm") if form == "page" else (".json", ".txt"), paths)
        except NoTarget as fault:
            raise click.ClickException(str(fault)) from None
    tell_if_slow()
    told = Survey()
    for line in _lines(paths, effort, jobs, settings_file):
        told.add(line)
    if form == "page":
        from .sheet.survey import page

        written = page(told)
    elif form == "json":
        written = report.values(told)
    else:
        written = "".join(f"{line.text}\n" for line in report.text(told))
    if output is None:
        sys.stdout.write(written)
    else:
        _write(output, written)
    return Exit.unreadable if told.unreadable else Exit.clean


def _lines(
    paths: tuple[str, ...], effort: float | None, jobs: int | None, settings_file: str | None
) -> Iterator[dict[str, Any]]:
    """Yield the lines of all reports, and those that a check of the other paths comes to."""
    from keyproof.rules.proof.prover import DEFAULT_EFFORT

    from .files import walk
    from .options import Options
    from .style import BadSettings, settings_for

    for path in paths:
        if path.lower().endswith(_REPORT):
            yield from _of_report(path)
    others = tuple(path for path in paths if not path.lower().endswith(_REPORT))
    if not others:
        return
    try:
        settings = settings_for(others, settings_file)
    except BadSettings as fault:
        raise click.ClickException(str(fault)) from None
    asked = settings.effort if effort is None else effort
    options = Options(DEFAULT_EFFORT if asked is None else asked, house=settings.house, levels=settings.levels)
    yield from _checked(list(walk(others, settings)), options, jobs)


def _checked(found: "list[str | FileResult]", options: "Options", jobs: int | None) -> Iterator[dict[str, Any]]:
    import json

    from .checking import jobs_for, run_of
    from .jobs import in_order
    from .pieces import pieces
    from .progress import Progress
    from .reports.lines import lines

    progress = Progress(len(found))
    checked = in_order(pieces(found, options), options, jobs or jobs_for(found, options), progress.within)
    with progress, closing(checked):
        for result in checked:
            yield from map(json.loads, lines(result, 0, run_of(options)))
            if result.last:
                progress.advance()


def _of_report(path: str) -> Iterator[dict[str, Any]]:
    import json

    try:
        with open(path, encoding="utf-8") as stream:
            for number, written in enumerate(stream, start=1):
                line = json.loads(written)
                if not isinstance(line, dict) or not ("done" in line or "verdict" in line):
                    raise click.ClickException(f"{path}:{number}: this is no line of keyproof check --as jsonl")
                yield line
    except ValueError:
        raise click.ClickException(f"{path}:{number}: the report breaks off here: run its check again") from None
    except OSError as fault:
        raise click.ClickException(f"{path} cannot be read: {fault.strerror or fault}") from None


def _write(output: str, written: str) -> None:
    from .writing import write_whole

    if output == "-":
        sys.stdout.write(written)
        return
    try:
        write_whole(output, written.encode("utf-8", "backslashreplace"))
    except OSError as fault:
        raise click.ClickException(f"{output} cannot be written: {fault.strerror or fault}") from None
