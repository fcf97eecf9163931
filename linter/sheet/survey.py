"""What an archive tells, as one page: bars of ink and hatching, for the screen and for paper."""

import base64
import hashlib
from collections.abc import Iterable, Sequence
from importlib.metadata import version
from importlib.resources import files

from ..reports.survey import VERDICTS, by_task, said_of, said_of_all
from ..reports.terminal import escape
from ..reports.text import counted
from ..survey import Repeat, Survey
from .markup import Markup, tag

_WIDTH = 600  # units of the longest bar
_HEIGHT = 18
_MOST_BARS = 20
_FILLS = {"sound": "url(#lines)", "unsound": "#111", "unproved": "url(#dots)", "no-claim": "#fff"}
_FILLS["finding"] = "#bbb"  # no verdict


def page(survey: Survey) -> str:
    """Return the page of a survey."""
    style = files("keyproof.linter.sheet").joinpath("survey.css").read_text("utf-8")
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    head = tag(
        "head",
        tag("meta", charset="utf-8"),
        tag("meta", http_equiv="Content-Security-Policy", content=f"default-src 'none'; style-src 'sha256-{digest}'"),
        tag("meta", name="viewport", content="width=device-width, initial-scale=1"),
        tag("title", "Survey of an archive"),
        tag("style", Markup(style)),
    )
    number, differ = survey.repeated()
    body = tag(
        "body",
        _DEFINITIONS,
        tag("h1", "Survey of an archive"),
        tag(
            "p",
            f"{counted(survey.puzzles, 'puzzle')} in {counted(survey.files, 'file')}; "
            f"{survey.checked:,} of {survey.mentions:,} move mentions checked.",
        ),
        tag("ul", (tag("li", f"not read: {escape(each)}") for each in survey.unreadable))
        if survey.unreadable
        else None,
        tag("section", tag("h2", "Verdicts by task"), _legend(), _tasks(survey)),
        _bars("Unsound, by kind", "unsound", survey.unsound.most_common()),
        _bars("Unproved, and how far the search came", "unproved", _unproved(survey)),
        _bars("Findings", "finding", survey.findings.most_common()),
        tag(
            "section",
            tag("h2", "Repeated positions"),
            tag("p", f"{said_of_all(number, differ)}."),
            tag("ol", (_repeat(each) for each in survey.repeats())),
        ),
        tag("footer", tag("p", f"keyproof {version('keyproof')}")),
    )
    return f"<!DOCTYPE html>\n{tag('html', head, body, lang='en')}\n"


_DEFINITIONS = Markup(
    '<svg width="0" height="0" aria-hidden="true"><defs>'
    '<pattern id="lines" width="5" height="5" patternUnits="userSpaceOnUse">'
    '<path d="M0 5L5 0" stroke="#111" stroke-width=".8"/></pattern>'
    '<pattern id="dots" width="4" height="4" patternUnits="userSpaceOnUse">'
    '<circle cx="2" cy="2" r=".8" fill="#111"/></pattern></defs></svg>'
)


def _legend() -> Markup:
    return tag("p", (Markup(f"{_box(verdict)} {verdict} ") for verdict in VERDICTS), class_="legend")


def _box(verdict: str) -> Markup:
    shape = tag("rect", width="22", height="12", x="1", y="1", fill=_FILLS[verdict], stroke="#111")
    return tag("svg", shape, width="24", height="14", aria_hidden="true")


def _tasks(survey: Survey) -> Markup:
    rows = by_task(survey)
    most = max((verdicts.total() for _, verdicts in rows), default=1)
    return _table(
        (
            (task, _stacked([(verdict, verdicts[verdict]) for verdict in VERDICTS], most), _counts(verdicts.items()))
            for task, verdicts in rows[:_MOST_BARS]
        ),
        len(rows) - _MOST_BARS,
    )


def _counts(verdicts: Iterable[tuple[str, int]]) -> str:
    found = dict(verdicts)
    return ", ".join(f"{found[verdict]:,} {verdict}" for verdict in VERDICTS if found.get(verdict))


def _stacked(parts: Iterable[tuple[str, int]], most: int) -> Markup:
    shapes, at = [], 0.5
    for verdict, number in parts:
        width = _WIDTH * number / most
        if number:
            size = {"width": f"{max(width, 1):.1f}", "height": str(_HEIGHT - 1)}
            shapes.append(tag("rect", x=f"{at:.1f}", y=".5", fill=_FILLS[verdict], stroke="#111", **size))
        at += width
    return tag("svg", shapes, viewBox=f"0 0 {_WIDTH + 1} {_HEIGHT}", preserveAspectRatio="none", aria_hidden="true")


def _unproved(survey: Survey) -> list[tuple[str, int]]:
    return [(f"{task}: {far}", number) for (task, far), number in survey.unproved.most_common()]


def _bars(title: str, fill: str, rows: Sequence[tuple[str, int]]) -> Markup | None:
    if not rows:
        return None
    most = rows[0][1]
    table = _table(
        ((name, _stacked([(fill, number)], most), f"{number:,}") for name, number in rows[:_MOST_BARS]),
        len(rows) - _MOST_BARS,
    )
    return tag("section", tag("h2", title), table)


def _table(rows: Iterable[tuple[str, Markup, str]], left: int) -> Markup:
    shown = [
        tag("tr", tag("th", escape(name), scope="row"), tag("td", bar, class_="bar"), tag("td", number))
        for name, bar, number in rows
    ]
    if left > 0:
        shown.append(tag("tr", tag("td", f"and {left} more", colspan="3")))
    return tag("table", shown)


def _repeat(repeat: Repeat) -> Markup:
    places = (
        tag("li", escape(f"{each.path}:{each.line}: {each.title} ({each.task}, {each.verdict})"))
        for each in repeat.places
    )
    return tag("li", said_of(repeat), tag("ul", places))
