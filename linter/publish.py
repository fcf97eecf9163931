"""The commands that make something to print: diagrams, drafts, proof sheets.

As in `cli`, each imports what it needs when it runs.
"""

from typing import TYPE_CHECKING

import click

from .arguments import limit
from .exits import Exit

if TYPE_CHECKING:
    from chess import Square
    from keyproof.rules.case.house import House
    from keyproof.rules.writing.voices import Voice

    from .diagrams.svg import Arrow
    from .drafts import Entry
    from .positions import Asked
    from .results import FileResult


def _write(path: str, data: bytes) -> None:
    from .writing import write_whole

    if path == "-":
        click.echo(data, nl=False)
        return
    try:
        write_whole(path, data)
    except OSError as fault:
        raise click.ClickException(f"{path} cannot be written: {fault.strerror or fault}") from None


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

    POSITION is a FEN in quotes, or a file.

    Exit status: 0 drawn, 2 not a position, or the file cannot be written.
    """
    from keyproof.rules.proof.prover import DEFAULT_EFFORT

    from .diagrams.files import NoDiagram, Width, as_png, as_svg
    from .diagrams.svg import Drawing
    from .positions import asked_of, played
    from .prove import NotAPosition

    try:
        asked = list(asked_of(position, None, DEFAULT_EFFORT))
        if (number or 1) > len(asked):
            raise NotAPosition(f"there is no puzzle number {number or 1}: {len(asked)} found in {position!r}")
        chosen = asked[(number or 1) - 1]
        if chosen.board is None:
            raise NotAPosition(f"{position}:{chosen.line}: {chosen.error}")
        board = played(chosen.board, line or "")
        drawing = Drawing(coordinates, tuple(map(_square, marks)), tuple(map(_arrow, arrows)))
        draw = as_png if output.lower().endswith(".png") else as_svg
        if output != "-" and not output.lower().endswith((".png", ".svg")):
            raise NoDiagram(f"{output}: name a file that ends in .svg or .png")
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
@click.option("--stipulation", metavar="SYMBOL", help="What is asked, such as '#2' or 'h#3'.")
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
@click.option("-o", "--output", metavar="FILE", help="A .docx or .html file to write, with diagrams.  [default: print]")
@click.option(
    "--settings",
    "settings_file",
    metavar="FILE",
    type=click.Path(),
    help="The settings file, for the house style.  [default: the nearest keyproof.toml or pyproject.toml]",
)
def draft(
    position: str,
    stipulation: str | None,
    voice: "Voice",
    effort: float | None,
    output: str | None,
    settings_file: str | None,
) -> int:
    """Write the solution of a sound puzzle, every line proved, in the house style.

    POSITION is a FEN in quotes, or a file; of a file the solution of every puzzle is written.

    Exit status: 0 written, 1 unsound or unproved, 2 not a position or nothing asked.
    """
    from keyproof.rules.proof.prover import DEFAULT_EFFORT

    from .diagrams.files import NoDiagram
    from .drafts import check_output, made
    from .positions import asked_of
    from .prove import NotAPosition, parse_stipulation
    from .style import BadSettings, settings_for

    entries: list[Entry] = []
    status = Exit.clean
    try:
        check_output(output)
        house = settings_for([position], settings_file).house
        asked = None if stipulation is None else parse_stipulation(stipulation)
        for each in asked_of(position, asked, effort or DEFAULT_EFFORT):
            outcome = _draft(each, voice, effort or DEFAULT_EFFORT, house)
            if isinstance(outcome, Exit):
                status = max(status, outcome)
            elif output is None:
                click.echo(outcome.text() + "\n")
            else:
                entries.append(outcome)
        if output is not None and entries:
            _write(output, made(output, entries))
    except (NotAPosition, NoDiagram, BadSettings) as error:
        raise click.ClickException(str(error)) from None
    return status


def _draft(asked: "Asked", voice: "Voice", effort: float, house: "House") -> "Exit | Entry":
    from functools import partial

    from keyproof.rules.writing.draft import NoDraft
    from keyproof.rules.writing.draft import draft as facts
    from keyproof.rules.writing.voices import written

    from .drafts import entry
    from .jobs import aside
    from .prove import NotAPosition
    from .reports.terminal import escape

    try:
        if asked.board is None:
            raise NotAPosition(asked.error)
        if asked.stipulation is None:
            raise NotAPosition("nothing says what is asked: add --stipulation, for example --stipulation '#2'")
        found = aside(partial(facts, asked.board, asked.stipulation, effort=effort))
    except ValueError as error:
        place = "keyproof" if asked.line is None else f"{escape(asked.path)}:{asked.line}:1"
        click.echo(f"{place}: error: {escape(str(error))}", err=True)
        return Exit.findings if isinstance(error, NoDraft) else Exit.unreadable
    return entry(escape(asked.title), asked.board, written(found, voice), house)


@click.command()
@click.argument("paths", nargs=-1, required=True, metavar="PATH...", type=click.Path())
@click.option("-o", "--output", required=True, metavar="FILE", help="The page to write, in HTML; '-' prints it.")
@click.option(
    "--effort", type=float, callback=limit, metavar="NUMBER", help="Million positions for each proof.  [default: 50]"
)
@click.option(
    "--settings",
    "settings_file",
    metavar="FILE",
    type=click.Path(),
    help="The settings file.  [default: the nearest keyproof.toml or pyproject.toml]",
)
def sheet(paths: tuple[str, ...], output: str, effort: float | None, settings_file: str | None) -> int:
    """Make a proof sheet: one page with diagrams, the text, what was found in it, and the proofs.

    The page needs no network and can be printed on A4.

    Exit status: 0 written, 2 a path could not be checked, or the page not be written.
    """
    from keyproof.rules.proof.prover import DEFAULT_EFFORT

    from .files import walk
    from .jobs import results, usual_jobs
    from .options import Options
    from .sheet.page import page
    from .style import BadSettings, settings_for

    try:
        settings = settings_for(paths, settings_file)
    except BadSettings as fault:
        raise click.ClickException(str(fault)) from None
    asked = effort or settings.effort or DEFAULT_EFFORT
    options = Options(asked, house=settings.house, levels=settings.levels)
    found = list(walk(paths, settings))
    checked = list(results(found, options, usual_jobs(len(found))))
    _write(output, page(checked, options).encode())
    for result in checked:
        if result.error is not None:
            _failed(result)
    return Exit.unreadable if any(result.error is not None for result in checked) else Exit.clean


def _failed(result: "FileResult") -> None:
    import sys

    from .reports import text
    from .reports.terminal import Writer

    Writer(sys.stderr).write([text.failure(result)])
