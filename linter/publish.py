"""The commands that make something to print: diagrams, drafts, proof sheets.

As in `cli`, each imports what it needs when it runs.
"""

from typing import TYPE_CHECKING

import click

from .arguments import chosen, limit, positions, settings_file, stipulation, tell_if_slow
from .exits import Exit

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from chess import Square
    from keyproof.rules.case.house import House
    from keyproof.rules.writing.draft import Draft
    from keyproof.rules.writing.voices import Voice

    from .diagrams.svg import Arrow
    from .drafts import Entry
    from .positions import Asked
    from .results import FileResult
    from .style import Settings


def _target(path: str, suffixes: "Sequence[str]", read: "Iterable[str | None]") -> None:
    from .writing import NoTarget, check_target

    try:
        check_target(path, suffixes, filter(None, read))
    except NoTarget as fault:
        raise click.ClickException(str(fault)) from None


def _write(path: str, data: bytes) -> None:
    from .writing import write_whole

    if path == "-":
        click.echo(data, nl=False)
        return
    try:
        write_whole(path, data)
    except OSError as fault:
        raise click.ClickException(f"{path} cannot be written: {fault.strerror or fault}") from None


def _settings(paths: "Sequence[str]", file: str | None) -> "Settings":
    from .style import BadSettings, settings_for

    try:
        return settings_for(paths, file)
    except BadSettings as fault:
        raise click.ClickException(str(fault)) from None


@click.command()
@click.argument("position")
@click.option("-o", "--output", required=True, metavar="FILE", help="An .svg or .png file; '-' prints SVG.")
@click.option("--number", type=click.IntRange(min=1), metavar="N", help="Which puzzle of a file, from 1.  [default: 1]")
@click.option("--after", "line", metavar="MOVES", help="Play these moves first, such as '1.Kg2 Kh4'.")
@click.option("--width", metavar="WIDTH", help="Pixels, or millimetres such as 60mm.  [default: 480]")
@click.option("--coordinates/--no-coordinates", default=True, help="Letters and numbers at the edge.")
@click.option("--mark", "marks", multiple=True, metavar="SQUARE", help="Put a ring on a square; may be repeated.")
@click.option("--arrow", "arrows", multiple=True, metavar="SQUARES", help="Draw an arrow, such as e2e4; repeatable.")
def diagram(
    position: str,
    output: str,
    number: int | None,
    line: str | None,
    width: str | None,
    coordinates: bool,
    marks: tuple[str, ...],
    arrows: tuple[str, ...],
) -> int:
    """Draw a position in black and white, for a column or a thumbnail.

    POSITION is a FEN or a list of men in quotes, or a file.

    Exit status: 0 drawn, 2 not a position, or the file cannot be written.
    """
    from keyproof.rules.proof.prover import DEFAULT_EFFORT

    from .diagrams.files import NoDiagram, Width, as_png, as_svg
    from .diagrams.svg import Drawing
    from .positions import NotAPosition, asked_of, played

    _target(output, (".svg", ".png"), [position])
    try:
        found = list(asked_of(position, None, DEFAULT_EFFORT, number or 1))
        (chosen,) = found
        if chosen.board is None:
            raise NotAPosition(f"{chosen.at}: {chosen.error}")
        board = played(chosen.board, line or "")
        drawing = Drawing(coordinates, tuple(map(_square, marks)), tuple(map(_arrow, arrows)))
        draw = as_png if output.lower().endswith(".png") else as_svg
        data = draw(board, drawing, Width.parse(width or "480"), chosen.title)
    except (NotAPosition, NoDiagram) as error:
        raise click.ClickException(str(error)) from None
    _write(output, data)
    return Exit.clean


def _square(name: str) -> "Square":
    import chess

    from .diagrams.files import NoDiagram

    if name not in chess.SQUARE_NAMES:
        raise NoDiagram(f"{name!r} is no square: give one from a1 to h8")
    return chess.parse_square(name)


def _arrow(names: str) -> "Arrow":
    from .diagrams.files import NoDiagram
    from .diagrams.svg import Arrow

    if len(names) != 4 or names[:2] == names[2:]:
        raise NoDiagram(f"{names!r} is no arrow: give two different squares, such as e2e4")
    return Arrow(_square(names[:2]), _square(names[2:]))


@click.command()
@click.argument("position")
@stipulation
@chosen
@click.option(
    "--voice",
    type=click.Choice(["column", "tutorial", "script"]),
    default="column",
    show_default=True,
    help="For print, with explanations, or to read aloud.",
)
@click.option(
    "--effort", type=float, callback=limit, metavar="NUMBER", help="Million positions searched.  [default: 50]"
)
@settings_file
@click.option(
    "-o", "--output", metavar="FILE", help="A .docx or .html file, with diagrams; '-' prints HTML.  [default: text]"
)
def draft(
    position: str,
    stipulation: str | None,
    number: int | None,
    voice: "Voice",
    effort: float | None,
    settings_file: str | None,
    output: str | None,
) -> int:
    """Write the solution of a sound puzzle, every line proved, in the style of the house.

    POSITION is a FEN or a list of men in quotes, or a file; of a file the solution of every puzzle is written.

    Exit status: 0 written, 1 unsound or unproved, 2 not a position or nothing asked.
    """
    from keyproof.rules.proof.prover import DEFAULT_EFFORT
    from keyproof.rules.writing.voices import WIDTH

    from .drafts import SUFFIXES
    from .positions import NotAPosition, asked_of, is_file, parse_stipulation
    from .progress import Progress

    if output is not None:
        _target(output, SUFFIXES, [position, settings_file])
    tell_if_slow()
    settings = _settings([position if is_file(position) else "."], settings_file)
    million = effort or settings.effort or DEFAULT_EFFORT
    try:
        asked = None if stipulation is None else parse_stipulation(stipulation)
        puzzles = list(asked_of(position, asked, million, number))
    except NotAPosition as error:
        raise click.ClickException(str(error)) from None
    status = Exit.clean
    entries: list[Entry] = []
    width = WIDTH if output is None else None
    with Progress(len(puzzles), "proving", "puzzles") as progress:
        for each, found in progress.over((each, _facts(each, million)) for each in puzzles):
            told = _told(each, found, voice, settings.house, width)
            if not isinstance(told, Exit):
                entries.append(told)
                if output is None:
                    click.echo(told.text() + "\n")
            else:
                status = max(status, told)
    if output is not None and entries:
        _write_drafts(output, entries)
    return status


def _facts(asked: "Asked", effort: float) -> "Draft | ValueError":
    """Return what there is to tell, or why there is nothing."""
    from functools import partial

    from keyproof.rules.writing.draft import draft as facts

    from .jobs import aside
    from .positions import NotAPosition

    if asked.board is None:
        return NotAPosition(asked.error)
    if asked.stipulation is None:
        return NotAPosition("nothing says what is asked: add --stipulation, for example --stipulation '#2'")
    try:
        return aside(partial(facts, asked.board, asked.stipulation, effort=effort))
    except ValueError as error:
        return error


def _told(
    asked: "Asked", found: "Draft | ValueError", voice: "Voice", house: "House", width: int | None
) -> "Exit | Entry":
    """Return the solution, or the status where there is none, which is said."""
    from keyproof.rules.writing.draft import NoDraft
    from keyproof.rules.writing.voices import written

    from .drafts import Entry
    from .reports.terminal import escape

    if isinstance(found, ValueError):
        click.echo(f"{escape(asked.at)}: error: {escape(str(found))}", err=True)
        return Exit.findings if isinstance(found, NoDraft) else Exit.unreadable
    assert asked.board is not None
    lines = written(found, voice, house.printed, width)
    return Entry(escape(asked.title), asked.board, tuple(lines))


def _write_drafts(output: str, entries: "Sequence[Entry]") -> None:
    from .diagrams.files import NoDiagram
    from .drafts import made

    try:
        data = made(output, entries)
    except NoDiagram as fault:
        raise click.ClickException(str(fault)) from None
    _write(output, data)


@click.command()
@click.argument("paths", nargs=-1, required=True, metavar="PATH...", type=click.Path())
@click.option("-o", "--output", required=True, metavar="FILE", help="The .html page to write; '-' prints it.")
@click.option(
    "--effort", type=float, callback=limit, metavar="NUMBER", help="Million positions for each proof.  [default: 50]"
)
@positions
@settings_file
def sheet(
    paths: tuple[str, ...], output: str, effort: float | None, positions: str | None, settings_file: str | None
) -> int:
    """Make a proof sheet: one page with diagrams, the text, what was found in it, and the proofs.

    The page needs no network and can be printed on A4.

    Exit status: 0 written, 2 a path could not be checked, or the page not be written.
    """
    from contextlib import closing

    from keyproof.rules.proof.prover import DEFAULT_EFFORT

    from .files import walk
    from .jobs import results, usual_jobs
    from .options import Options
    from .progress import Progress
    from .sheet.page import page

    tell_if_slow()
    settings = _settings(paths, settings_file)
    if positions is not None:
        _positions(positions)
    million = effort or settings.effort or DEFAULT_EFFORT
    options = Options(million, house=settings.house, levels=settings.levels, positions=positions, show_moves=True)
    found = list(walk(paths, settings))
    read = [each if isinstance(each, str) else each.path for each in found]
    _target(output, (".html", ".htm"), [*read, positions, settings_file])
    progress = Progress(len(found), "checking", "files")
    checking = results(found, options, usual_jobs(len(found)), progress.within)
    with progress, closing(checking):
        checked = list(progress.over(checking))
    for result in checked:
        if result.error is not None:
            _failed(result)
    if all(result.error is not None for result in checked):
        return Exit.unreadable  # nothing to show: what stood there before is worth more
    with Progress(sum(len(result.puzzles) for result in checked), "proving", "puzzles") as progress:
        data = page(checked, options, progress.advance).encode()
    _write(output, data)
    return Exit.unreadable if any(result.error is not None for result in checked) else Exit.clean


def _positions(path: str) -> None:
    from .companion import NoPositions, positions_of

    try:
        positions_of(path)
    except NoPositions as fault:
        raise click.ClickException(str(fault)) from None


def _failed(result: "FileResult") -> None:
    import sys

    from .reports import text
    from .reports.terminal import Writer

    Writer(sys.stderr).write([text.failure(result)])
