"""The men of both sides in two columns, each under the name of its side.

    WHITE         BLACK
    King   d8     King  b7
    Queen  f6

The columns part at bars where the headings have some, else where the second heading begins.
"""

import re
from collections.abc import Iterator, Sequence
from functools import cache

from msgspec import Struct
from msgspec.structs import replace

from .roster import COLOURS, Roster, roster, skip
from .spans import Span
from .words import one_of

_CELL = re.compile(r"\S+(?:[ \t]\S+)*")  # two blanks part two cells
_RULE = re.compile(r"[ \t|:+=_-]*")  # a line drawn under the headings
_SLACK = 6  # columns that a cell may begin before or behind its heading
_FEWEST = 3  # men
_MOST_ROWS = 20


class Columns(Struct, frozen=True):
    """The men of two columns: of each side its name as printed, where it stands, and the men under it."""

    sides: tuple[tuple[str, int, Roster], ...]


@cache
def _headings() -> re.Pattern[str]:
    """Return the pattern of a line that holds the names of two sides and no more."""
    word = one_of(word for word in COLOURS if len(word) > 1)
    between = r"\b[:*_.]*(?:[ \t]{2,}|[ \t]*\|)[ \t|*_]*"
    return re.compile(rf"^[ \t|*_]*(?P<first>{word}){between}(?P<second>{word})\b[:*_.|\t \r]*$", re.M)


def find_men_in_columns(text: str) -> Iterator[Columns]:
    """Yield every two columns of men in `text`, whether or not they make a position. Never raises."""
    for head in _headings().finditer(text):
        names = [head["first"].lower(), head["second"].lower()]
        if any(name not in COLOURS for name in names) or COLOURS[names[0]] == COLOURS[names[1]]:
            continue
        parting = None if "|" in head[0] else head.start("second") - head.start()
        rows = [_parted(text, row, parting) for row in _rows(text, head.end())]
        columns = [_men(text, [row[side] for row in rows]) for side in (0, 1)]
        first, second = columns
        if first is not None and second is not None and first.size + second.size >= _FEWEST:
            second = replace(second, end=max(first.end, second.end))
            places = head.start("first"), head.start("second")
            yield Columns(tuple(zip(names, places, (first, second), strict=True)))


def _rows(text: str, place: int) -> Iterator[Span]:
    """Yield the lines below the headings, up to one that is empty."""
    for _ in range(_MOST_ROWS):
        start = place + 1
        if start >= len(text):
            return
        end = text.find("\n", start)
        place = end if end >= 0 else len(text)
        line = text[start:place]
        if not line.strip():
            return
        if not _RULE.fullmatch(line.rstrip("\r")):
            yield Span(start, place)


def _parted(text: str, row: Span, parting: int | None) -> tuple[Span, Span]:
    """Return the halves of a row: at its bar, or before the cell that stands under the second heading."""
    line = row.of(text)
    if parting is None:
        bars = [place for place, sign in enumerate(line) if sign == "|"]
        first = bars.pop(0) + 1 if bars and not line[: bars[0]].strip() else 0
        at = bars[0] if bars else len(line)
        return Span(row.start + first, row.start + at), Span(row.start + min(at + 1, len(line)), row.end)
    starts = [cell.start() for cell in _CELL.finditer(line)]
    nearest = min(starts, key=lambda start: abs(start - parting), default=0)
    at = nearest if abs(nearest - parting) <= _SLACK else len(line)
    return Span(row.start, row.start + at), Span(row.start + at, row.end)


def _men(text: str, cells: Sequence[Span]) -> Roster | None:
    """Read the cells of one column, None where one of them holds anything but men."""
    found = Roster(cells[0].end if cells else 0)
    for cell in cells:
        words = cell.of(text).rstrip(" \t\r|")
        place = skip(words, 0)
        if place >= len(words):
            continue
        men = roster(words, place)
        if not men.entries or men.faults or skip(words, men.end) < len(words):
            return None
        found.entries += [
            replace(each, span=each.span.further_on(cell.start), square_span=each.square_span.further_on(cell.start))
            for each in men.entries
        ]
        found.end = cell.start + men.end
    return found
