"""The commands that tell what is true of a position, and what a rule means.

As in `cli`, each imports what it needs when it runs.
"""

import sys
from collections.abc import Iterator
from typing import TYPE_CHECKING

import click

from .arguments import chosen, limit, stipulation, tell_if_slow
from .exits import Exit

if TYPE_CHECKING:
    from .pages import Page
    from .prove import Proved


@click.command()
@click.argument("position")
@stipulation
@chosen
@click.option("--as", "form", type=click.Choice(["text", "json"]), default="text", help="How to report.")
@click.option(
    "--effort", type=float, callback=limit, metavar="NUMBER", help="Million positions searched.  [default: 50]"
)
def prove(position: str, stipulation: str | None, number: int | None, form: str, effort: float | None) -> int:
    """Prove a position: its keys, tries, threats and defences.

    POSITION is a FEN or a list of men in quotes, or a file; of a file every puzzle is proved.

    Exit status: 0 sound, 1 unsound or unproved, 2 not a position or nothing asked.
    """
    from keyproof.rules.proof.prover import DEFAULT_EFFORT

    from .positions import NotAPosition, asked_of, is_file, parse_stipulation
    from .progress import Progress
    from .prove import proofs_of

    tell_if_slow()
    million = DEFAULT_EFFORT if effort is None else effort
    path = position if is_file(position) else None
    try:
        asked = None if stipulation is None else parse_stipulation(stipulation)
        puzzles = list(asked_of(position, asked, million, number))
        with Progress(len(puzzles), "proving", "puzzles") as progress:
            proofs = progress.over(proofs_of(iter(puzzles), million))
            return _as_json(path, proofs) if form == "json" else _as_text(path, proofs)
    except NotAPosition as error:
        raise click.ClickException(str(error)) from None


def _as_text(path: str | None, proofs: Iterator["Proved"]) -> Exit:
    from .reports import proof as report
    from .reports.terminal import Writer

    status = Exit.clean
    for proved in proofs:
        if proved.proof is None:
            Writer(sys.stderr).write([report.failure(path, proved)])
        else:
            Writer(sys.stdout).write(report.report(proved.proof, report.heading(path, proved)))
        status = max(status, _proved(proved))
    return status


def _as_json(path: str | None, proofs: Iterator["Proved"]) -> Exit:
    import json
    from importlib.metadata import version

    status = Exit.clean
    shown = []
    for proved in proofs:
        entry = {} if proved.proof is None else proved.proof.as_json()
        if path is not None:
            entry = {"line": proved.line, "place": proved.place, "title": proved.title, "error": proved.error} | entry
        shown.append(entry)
        status = max(status, _proved(proved))
    whole = shown[0] if path is None else {"keyproof": version("keyproof"), "path": path, "puzzles": shown}
    click.echo(json.dumps(whole, indent=1))
    return status


def _proved(proved: "Proved") -> Exit:
    if proved.proof is None:
        return Exit.unreadable
    return Exit.clean if proved.proof.verdict == "sound" else Exit.findings


@click.command()
@click.argument("rule", required=False)
def explain(rule: str | None) -> int:
    """Explain a rule: what it finds, its source, a bad and a good example. Without a name, list all rules."""
    from difflib import get_close_matches

    from .pages import pages
    from .reports import page
    from .reports.terminal import Writer

    known = pages()
    out = Writer(sys.stdout)
    if rule is None:
        out.write(page.index(known.values()))
        return Exit.clean
    name = "-".join(rule.strip("[] ").lower().replace("_", " ").split())
    if name not in known:
        near = get_close_matches(name, known, n=3)
        hint = f"; nearest: {', '.join(near)}" if near else ""
        raise click.ClickException(f"no rule is named {rule!r}{hint} ('keyproof explain' lists them all)")
    out.write(page.report(known[name], _answer(known[name])))
    return Exit.clean


def _answer(page: "Page") -> list[str]:
    """Return what keyproof says of the bad example."""
    import tomllib
    from functools import partial

    from .jobs import aside
    from .options import Options
    from .pipeline import check_text
    from .style import parse

    settings = parse(tomllib.loads(page.settings))
    options = Options(house=settings.house, levels=settings.levels)
    result = aside(partial(check_text, "column.txt", page.bad, options))
    return [each.finding.message for each in result.findings if each.finding.rule == page.name]
