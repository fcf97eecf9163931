"""The command line. Each command imports what it needs when it runs, so that help and version come at once."""

import io
import os
import shlex
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

import click
from click.exceptions import NoArgsIsHelpError

from .arguments import effort_of_proofs, positions, processes, settings_file, tell_if_slow
from .desk.command import desk
from .examine import explain, prove
from .exits import Exit
from .garbage import keep_loaded
from .kinds import READ_AS
from .publish import diagram, draft, sheet
from .surveying import survey

if TYPE_CHECKING:
    from .kinds import Kind
    from .results import FileResult

LEVELS = ("error", "warning", "note")
FORMS = ("text", "json", "jsonl", "sarif")


class Commands(click.Group):
    """The group of all commands: turns everything that can go wrong into one line and an exit status."""

    def main(
        self,
        args: Sequence[str] | None = None,
        prog_name: str | None = None,
        complete_var: str | None = None,
        standalone_mode: bool = True,
        **extra: Any,
    ) -> Any:
        """Run a command and exit with a status of `Exit`; never let another exception out."""
        _ready_streams()
        try:
            status = super().main(args, prog_name, complete_var, standalone_mode=False, **extra)
            sys.stdout.flush()
        except click.ClickException as error:
            status = _misused(error)
        except (KeyboardInterrupt, click.Abort):
            status = Exit.interrupted
        except BrokenPipeError:
            _drop_output()
            status = Exit.broken_pipe
        except _Ended as ended:
            if ended.status is Exit.broken_pipe:
                _drop_output()
            status = ended.status
        except OSError as error:
            _drop_output()
            _complain(f"the output cannot be written: {error.strerror or error}")
            status = Exit.unreadable
        except Exception as error:
            from .jobs import own_fault

            _complain(f"keyproof itself failed, please report: {own_fault(error)}")
            status = Exit.unreadable
        finally:
            if "keyproof.grammar" in sys.modules:
                from keyproof.grammar.expressions import keep

                keep()
        sys.exit(int(status or Exit.clean))

    def make_context(self, *args: Any, **extra: Any) -> click.Context:
        """Read the arguments; help and version are printed here."""
        with _ended_quietly():
            return super().make_context(*args, **extra)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command that is meant; a file in its place wants to be checked."""
        name = args[0]
        if self.get_command(ctx, name) is None and (name == "-" or os.path.exists(name) or os.path.splitext(name)[1]):
            raise click.UsageError(f"{name!r} is no command; to proofread it: keyproof check {shlex.quote(name)}", ctx)
        return super().resolve_command(ctx, args)

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command of a context."""
        with _ended_quietly():
            return super().invoke(ctx)


class _Ended(Exception):
    """The run was ended from outside. No exception that click knows, which would add words and a status of its own."""

    def __init__(self, status: Exit) -> None:
        self.status = status


@contextmanager
def _ended_quietly() -> Iterator[None]:
    try:
        yield
    except BrokenPipeError:
        raise _Ended(Exit.broken_pipe) from None
    except KeyboardInterrupt:
        raise _Ended(Exit.interrupted) from None


def _ready_streams() -> None:
    """Make every text printable: a closed stream takes it and drops it, a poor encoding gets escapes."""
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if stream is None:
            setattr(sys, name, open(os.devnull, "w"))  # noqa: SIM115  # for the rest of the process
        elif isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def _drop_output() -> None:
    """Send what is still in the buffer of stdout nowhere: the interpreter flushes once more at its end."""
    try:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except io.UnsupportedOperation:
        sys.stdout = open(os.devnull, "w")  # noqa: SIM115


def _misused(error: click.ClickException) -> Exit:
    if isinstance(error, NoArgsIsHelpError):
        click.echo(error.format_message(), err=True)
        return Exit.unreadable
    message = error.format_message().rstrip(".")
    _complain(message[:1].lower() + message[1:])
    context = error.ctx if isinstance(error, click.UsageError) else None
    if context is not None:
        click.echo(f"try '{context.command_path} --help'", err=True)
    return Exit.unreadable


def _complain(message: str, level: str = "error") -> None:
    """Write one line in the GNU form to stderr."""
    from .reports.terminal import escape

    click.echo(f"keyproof: {level}: {escape(message)}", err=True)


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="keyproof", message="keyproof %(version)s")
def cli() -> None:
    """Proofread chess puzzles: replay every printed line, prove or refute every claim."""


def main() -> None:
    """Run the command line of this process."""
    keep_loaded()  # what a command imports makes more objects than all it does with them
    try:
        cli(prog_name="keyproof")
    finally:
        keep_loaded()  # else the interpreter searches everything once more before it ends


@cli.command()
@click.argument("paths", nargs=-1, required=True, metavar="PATH...", type=click.Path())
@click.option("--as", "form", type=click.Choice(FORMS), default="text", help="How to report.")
@click.option(
    "--bar",
    type=click.Choice(LEVELS),
    default="warning",
    show_default=True,
    help="The lowest level of finding that makes the exit status 1.",
)
@effort_of_proofs
@processes
@click.option("--reading-as", type=click.Choice(READ_AS), help="The kind of every file.  [default: by its suffix]")
@click.option("--name", metavar="NAME", help="What standard input is called; its suffix tells the kind.")
@click.option("--fresh", is_flag=True, help="Prove anew what earlier runs have proved.")
@settings_file
@click.option("--tables", metavar="DIR", type=click.Path(), help="A folder of Syzygy or Gaviota endgame tables.")
@positions
@click.option("--show-reading", is_flag=True, help="Print how each sentence was understood.")
@click.option(
    "--output",
    "-o",
    metavar="FILE",
    type=click.Path(),
    help="With --as jsonl: the report's file; what an earlier run has done stands in it and is kept.",
)
@click.option("--since", metavar="REVISION", help="Check only files that git says have changed since.")
@click.option("--cluster", metavar="ADDRESS", help="Check on the workers of a Dask cluster.")
@click.option("--repair", is_flag=True, help="Show the repairs of the findings as a unified diff instead.")
@click.option("--write", is_flag=True, help="With --repair: put the repairs into the files.")
@click.option("--marked", metavar="OUT", type=click.Path(), help="Write a copy of a .docx, .odt or PDF with comments.")
def check(
    paths: tuple[str, ...],
    form: str,
    bar: str,
    effort: float | None,
    jobs: int | None,
    reading_as: "Kind | None",
    name: str | None,
    fresh: bool,
    settings_file: str | None,
    tables: str | None,
    positions: str | None,
    show_reading: bool,
    output: str | None,
    since: str | None,
    cluster: str | None,
    repair: bool,
    write: bool,
    marked: str | None,
) -> int:
    """Proofread files, and all puzzle files below folders that git does not ignore; "-" is standard input.

    Exit status: 0 no finding at or above the bar, 1 some, 2 a path could not be checked, 3 no finding, and less than
    half of a file's text was understood, so that nothing can be said of it.
    """
    from keyproof.rules.finding import Level
    from keyproof.rules.proof.prover import DEFAULT_EFFORT

    from . import cache
    from .checking import Asked, check_all
    from .files import walk
    from .jobs import usual_jobs
    from .marked import ready
    from .options import Options
    from .sources import STANDARD_INPUT
    from .style import BadSettings, settings_for

    _refuse_what_does_not_go_together(paths, form, name, show_reading=show_reading, repair=repair, write=write)
    if output is not None and form != "jsonl":
        raise click.UsageError("--output goes with --as jsonl; other reports go where standard output goes")
    if output is not None:
        _apart(output, paths)
    if cluster is not None and (repair or tables or positions or STANDARD_INPUT in paths):
        raise click.UsageError("--cluster checks files by their own text: no --repair, --tables, --positions or '-'")
    try:
        settings = settings_for(paths, settings_file)
    except BadSettings as fault:
        raise click.ClickException(str(fault)) from None
    if tables is not None:
        from keyproof.rules.board.endings import NoTables, open_tables

        try:
            open_tables(tables)
        except NoTables as fault:
            raise click.ClickException(str(fault)) from None
    if positions is not None:
        from .companion import NoPositions, positions_of

        try:
            positions_of(positions)
        except NoPositions as fault:
            raise click.ClickException(str(fault)) from None
    asked = settings.effort if effort is None else effort
    limit_of_proofs = DEFAULT_EFFORT if asked is None else asked
    options = Options(
        limit_of_proofs, fresh, reading_as, name, settings.house, settings.levels, tables, positions, show_reading
    )
    for warning in cache.begin(fresh=fresh):
        _complain(warning, level="warning")
    tell_if_slow()
    found = list(walk(paths, settings))
    if not found:
        _complain(f"nothing is checked: the settings leave out {', '.join(paths)}", level="warning")
    if marked is not None:
        ready(paths, marked, reading_as, repair=repair)
    if since is not None:
        found = _changed(since, found)
    if repair:
        from .mending import mend

        return mend(found, options, jobs or usual_jobs(len(found)), Level[bar], write=write)
    return check_all(found, options, Asked(form, Level[bar], jobs, output, cluster, marked))


def _apart(output: str, paths: Sequence[str]) -> None:
    from .writing import NoTarget, check_target

    try:
        check_target(output, (".jsonl",), paths)
    except NoTarget as fault:
        raise click.ClickException(str(fault)) from None


def _refuse_what_does_not_go_together(
    paths: tuple[str, ...], form: str, name: str | None, *, show_reading: bool, repair: bool, write: bool
) -> None:
    """Raise UsageError where options of a check contradict one another."""
    from .sources import STANDARD_INPUT

    if STANDARD_INPUT in paths and len(paths) > 1:
        raise click.UsageError("standard input is checked alone: '-' takes no other path beside it")
    if write and (not repair or STANDARD_INPUT in paths):
        raise click.UsageError("--write goes with --repair and with files")
    if repair and form != "text":
        raise click.UsageError(f"--repair shows a diff and takes no --as {form}")
    if show_reading and repair:
        raise click.UsageError("--show-reading does not go with --repair, which shows a diff")
    if show_reading and form in ("sarif", "jsonl"):
        raise click.UsageError("--show-reading goes with --as text and --as json")
    if name is not None and paths != (STANDARD_INPUT,):
        raise click.UsageError("--name is for standard input: give '-' as the path")


def _changed(revision: str, found: "list[str | FileResult]") -> "list[str | FileResult]":
    from .since import NoHistory, changed_since

    try:
        return list(changed_since(revision, found))
    except NoHistory as fault:
        raise click.ClickException(str(fault)) from None


@cli.command()
def listen() -> int:
    """Serve an editor: findings as one types, over standard input and output (Language Server Protocol).

    An editor starts this command. It needs the extra "listen": pip install 'keyproof[listen]'.
    """
    try:
        from .listen.server import run
    except ModuleNotFoundError as missing:
        if (missing.name or "").partition(".")[0] not in ("pygls", "lsprotocol"):
            raise
        raise click.ClickException("an editor is served by the extra: pip install 'keyproof[listen]'") from None
    run()
    return Exit.clean


cli.add_command(desk)
cli.add_command(diagram)
cli.add_command(draft)
cli.add_command(explain)
cli.add_command(prove)
cli.add_command(sheet)
cli.add_command(survey)
