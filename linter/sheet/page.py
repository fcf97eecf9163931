"""The whole page: one file in HTML, complete in itself, for the screen, for paper and for a screen reader."""

import base64
import hashlib
from collections.abc import Callable, Sequence
from importlib.metadata import version
from importlib.resources import files

from ..options import Options
from ..reports.terminal import escape
from ..reports.text import summary
from ..results import FileResult
from ..tally import Tally
from .boards import Boards
from .column import Column, Entry
from .markup import Markup, join, tag

FEW_PATHS = 3  # files that the title of the page names
FEW_ENTRIES = 4  # puzzles among which those with findings are found at a glance


def page(results: Sequence[FileResult], options: Options, told: Callable[[], None] = lambda: None) -> str:
    """Return the proof sheet of some files, checked with `options`; `told` is called after each puzzle."""
    column = Column(options, told)
    sections = [column.file(result) for result in results]
    tally = Tally()
    for result in results:
        tally.add(result)
    style, script = _resource("page.css"), _resource("player.js")
    paths = ", ".join(escape(result.path) for result in results)
    head = tag(
        "head",
        tag("meta", charset="utf-8"),
        tag("meta", http_equiv="Content-Security-Policy", content=policy()),
        tag("meta", name="viewport", content="width=device-width, initial-scale=1"),
        tag("meta", name="color-scheme", content="light dark"),
        tag("title", f"Proof sheet: {paths}" if len(results) <= FEW_PATHS else "Proof sheet"),
        tag("style", Markup(style)),
    )
    body = tag(
        "body",
        Boards.definitions(),
        tag("header", tag("h1", "Proof sheet"), tag("p", summary(tally).text, class_="summary"), _contents(column)),
        tag("main", sections),
        tag("footer", tag("p", f"keyproof {version('keyproof')}")),
        tag("script", Markup(script)),
    )
    return f"<!DOCTYPE html>\n{tag('html', head, body, lang='en')}\n"


def policy() -> str:
    """Return what the page may do: its own style and script, nothing fetched (Content Security Policy Level 3)."""
    style, script = _digest(_resource("page.css")), _digest(_resource("player.js"))
    return f"default-src 'none'; style-src '{style}'; script-src '{script}'"


def _contents(column: Column) -> Markup:
    """Return the list of puzzles with their verdicts and the number of findings, and what may be left out."""
    found = [entry for entry in column.entries if entry.findings]
    several = len(column.entries) > 1
    choices = []
    if column.entries:
        choices.append(_choice("proofs", "Print the proofs too", chosen=True))
        choices.append(_choice("column", "The column alone, as readers get it: text and diagrams", chosen=False))
    if len(column.entries) >= FEW_ENTRIES and found and len(found) < len(column.entries):
        words = f"Only puzzles with findings ({len(found)} of {len(column.entries)})"
        choices.append(_choice("faulty", words, chosen=False))
    listed = tag("nav", tag("ol", map(_entry, column.entries)), aria_label="Puzzles") if several else None
    return join(tag("p", *choices, class_="choices") if choices else None, listed)


def _choice(name: str, words: str, *, chosen: bool) -> Markup:
    box = tag("input", type="checkbox", id=f"only-{name}", checked=chosen, autocomplete="off")
    return tag("label", box, f" {words} ")


def _entry(entry: Entry) -> Markup:
    found = f"{entry.findings} finding{'' if entry.findings == 1 else 's'}" if entry.findings else "no finding"
    link = tag("a", entry.title, href=f"#{entry.place}")
    return tag("li", link, f": {entry.verdict}, {found}", class_="faulty" if entry.findings else "clean")


def _resource(name: str) -> str:
    return files(__package__).joinpath(name).read_text(encoding="utf-8")


def _digest(text: str) -> str:
    """Return the source expression that admits this inline text and no other (Content Security Policy Level 3)."""
    return f"sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}"
