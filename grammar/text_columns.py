"""Positions set in the columns of a page: FENs or lists of men beside each other, each with what is said of it.

    412                           413
    K7/bP1rP3/3k1p2/1Q3B1R/       8/4N3/8/7p/R2pK2k/3Q4/8/8
    8/8/8/7R                      Mate in two
    Mate in two

The lines are parted at the blanks that all of them have, and each column is read as if it stood alone.
"""

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise

from msgspec import Struct
from msgspec.structs import replace

from .boards import find_boards
from .broken_fens import broken
from .document import Beside, Diagram
from .fens import find_fens
from .laid import NOTHING, Laid
from .men import find_lists
from .remembering import remembered
from .roster import heading
from .spans import Span, lines_of
from .traces import NUMBERED_MOVE

_PARTED = re.compile(r"\S[ \t]{3,}\S")
_PART = re.compile(r"\S+(?: \S+)*")
_NARROWEST = 3  # blanks between two columns
_ABOVE = 6  # lines above a position that may be of its column
_MOST_LINES = 80  # of columns
_FEN = re.compile(r"[A-Za-z1-8]{1,8}/[A-Za-z1-8]{1,8}/")
_SQUARES = re.compile(r"(?:\S[ \t]?){7}\S[ \t]{3,}(?:\S[ \t]?){7}\S")
_FARTHEST = 1_000  # the column at which every line has ended
Blank = tuple[int, int]
"""From which column of a page to which nothing stands."""
_LABEL = re.compile(r"(?:(?:[^\W\d]+\.?[ \t]*)?\d{1,4}[a-h]?|[A-Ha-h]|[IVX]{1,5})(?:[.):]?$|[.):](?=[ \t]))")


class _Shown(Struct):
    """A position read in a column of parts, with what it takes of the text and of which parts that is."""

    diagram: Diagram
    said: Laid
    first: int  # the places of its parts in the column
    last: int

    @property
    def taken(self) -> tuple[Span, ...]:
        return self.said.signs(self.diagram.span)


def columns_of_positions(text: str) -> tuple[Beside, ...]:
    """Return the positions in `text` that stand in columns beside others, in order. Never raises."""
    found: list[Beside] = []
    lines = lines_of(text).spans
    taken = 0  # lines
    for number, line in enumerate(lines):
        if number < taken or not _may_begin(line.of(text)):
            continue
        for first in range(max(taken, number - _ABOVE), number + 1):
            if _PARTED.search(text, *lines[first]) is None:
                continue
            parted = (_read(text, lines[first:end], gutters) for end, gutters in _runs(text, lines, first))
            shown, below = max(parted, key=lambda each: len(each[0]), default=([], 1))
            if shown:
                found += shown
                taken = first + below
                break
    return tuple(sorted(found, key=lambda each: each.diagram.span))


@remembered
def _may_begin(line: str) -> bool:
    """Tell whether a line is parted, and may have the beginning of a position on it."""
    if _PARTED.search(line) is None:
        return False
    return _FEN.search(line) is not None or _SQUARES.search(line) is not None or heading().search(line) is not None


def _blanks(line: str) -> Iterator[Blank]:
    """Yield where a line is blank, up to the farthest column."""
    place = 0
    for part in _PART.finditer(line):
        yield place, part.start()
        place = part.end()
    yield place, _FARTHEST


def _runs(text: str, lines: Sequence[Span], first: int) -> Iterator[tuple[int, list[Blank]]]:
    """Yield where lines from the `first` on end that have blanks in common, and these: the more lines, the fewer."""
    gutters: list[Blank] = [(0, _FARTHEST)]
    last = min(len(lines), first + _MOST_LINES)
    for end, line in enumerate(lines[first:last], first):
        blanks = list(_blanks(line.of(text)))
        shared = {(max(one[0], other[0]), min(one[1], other[1])) for one in gutters for other in blanks}
        fewer = sorted(each for each in shared if each[1] - each[0] >= _NARROWEST)
        if end > first + 1 and _between(fewer) < _between(gutters):
            yield end, [each for each in gutters if _inside(each)]
        gutters = fewer
        if not _between(gutters):
            return
    yield last, [each for each in gutters if _inside(each)]


def _inside(gutter: Blank) -> bool:
    return gutter[0] > 0 and gutter[1] < _FARTHEST


def _between(gutters: Sequence[Blank]) -> int:
    return sum(map(_inside, gutters))


def _read(text: str, lines: Sequence[Span], gutters: Sequence[Blank]) -> tuple[list[Beside], int]:
    """Return the positions of the columns and how many lines these take; none where fewer than two have any."""
    edges = [0, *(after for _, after in gutters)]
    parts = [
        [_inked(text, Span(min(line.start + start, line.end), min(line.start + after, line.end))) for line in lines]
        for start, after in zip(edges, [*edges[1:], _FARTHEST], strict=True)
    ]
    read = [list(_positions(text, column)) for column in parts]
    if sum(map(bool, read)) < 2:
        return [], 1
    columns = [(column, shown) for column, shown in zip(_with_heads(parts, read), read, strict=True) if shown]
    several = [row for row in range(len(lines)) if sum(column[row] is not None for column in parts) > 1]
    end = max(*several, *(shown[-1].last for _, shown in columns)) + 1
    found = [each for column, shown in columns for each in _with_own(text, column[:end], shown)]
    drawn = all(each.diagram.kind == "board" and not each.own for each in found)  # these are read as drawings
    return ([], 1) if drawn else (found, end)


def _with_heads(parts: list[list[Span | None]], read: Sequence[Sequence[_Shown]]) -> list[list[Span | None]]:
    """Give what stands over no position, as a number set between two, to the column on its left."""
    first = min(shown[0].first for shown in read if shown)
    for place in range(1, len(parts)):
        if read[place] or not read[place - 1] or any(parts[place][first:]):
            continue
        parts[place - 1] = [own or over for own, over in zip(parts[place - 1], parts[place], strict=True)]
    return parts


def _inked(text: str, span: Span) -> Span | None:
    words = span.of(text)
    start = span.start + len(words) - len(words.lstrip())
    return Span(start, start + len(words.strip())) if words.strip() else None


def _positions(text: str, column: Sequence[Span | None]) -> Iterator[_Shown]:
    """Yield the positions of one column that can be read whole, in order."""
    row = 0
    while row < len(column):
        shown = _position(text, column, row) if column[row] is not None else None
        if shown is not None:
            yield shown
        row = row + 1 if shown is None else shown.last + 1


def _position(text: str, column: Sequence[Span | None], row: int) -> _Shown | None:
    """Read the position that begins in a part of a column: a FEN, broken or not, or a list of men."""
    below = list(_until_blank(column[row:]))
    if (found := broken(text, below)) is not None:
        return _shown(*found, below, row)
    said = NOTHING
    for part in below:
        said = said.then(text, part, "\n" if said.text else "")
    first = len(below[0].of(text))
    for diagrams in (find_fens(said.text), find_boards(said.text), find_lists(said.text)):
        diagram = next(iter(diagrams), None)
        if diagram is not None and not diagram.faults and diagram.span.start < first:
            return _shown(diagram, said, below, row)
    return None


def _until_blank(parts: Sequence[Span | None]) -> Iterator[Span]:
    for part in parts:
        if part is None:
            return
        yield part


def _shown(diagram: Diagram, said: Laid, parts: Sequence[Span], row: int) -> _Shown:
    taken = said.signs(diagram.span)
    rows = [place for place, part in enumerate(parts) if any(part.overlaps(each) for each in taken)]
    return _Shown(diagram, said, row, row + rows[-1])


def _with_own(text: str, column: Sequence[Span | None], shown: Sequence[_Shown]) -> Iterator[Beside]:
    """Yield the positions of a column, each at its label, with what else stands in the column for it."""
    leads = [_lead(text, column, one.last + 1, other.first) for one, other in pairwise(shown)]
    starts = [_lead(text, column, -1, shown[0].first), *leads]
    for each, start, end in zip(shown, starts, [*starts[1:], len(column)], strict=True):
        above = [part for part in column[start : each.first] if part is not None]
        labels = [label for part in reversed(above) if (label := _label(text, part)) is not None]
        label = next((each for each in labels if any(map(str.isdecimal, each.of(text)))), labels[0] if labels else None)
        over = () if label is None else (label,)
        parts = [part for part in column[start:end] if part is not None]
        taken = each.taken
        own = [rest for part in parts for rest in _rest(text, part, (*over, *taken))]
        diagram = each.said.told(each.diagram, label or taken[0])
        yield Beside(replace(diagram, heading=label), (*over, *taken), tuple(own))


def _rest(text: str, part: Span, taken: Sequence[Span]) -> Iterator[Span]:
    """Yield what is left of a part beside what a position takes of it."""
    place = part.start
    for each in (*(span for span in taken if span.overlaps(part)), Span(part.end, part.end)):
        if (rest := _inked(text, Span(place, max(place, each.start)))) is not None:
            yield rest
        place = each.end


def _lead(text: str, column: Sequence[Span | None], start: int, first: int) -> int:
    """Return from where on the parts of a column between two positions belong to the second.

    `start` is the place behind the one before, -1 where there is none.
    """
    above = max(start, 0)
    lead = first
    while lead > above and column[lead - 1] is not None:
        lead -= 1
    if lead == start:  # nothing blank between them
        labels = [row for row in range(start, first) if _label(text, column[row]) is not None]
        return labels[-1] if labels else first
    if lead == first:
        row = max((row for row in range(above, first) if column[row] is not None), default=above)
        while row >= above and column[row] is not None:
            lead = row if _label(text, column[row]) is not None else lead
            row -= 1
    return lead


def _label(text: str, part: Span | None) -> Span | None:
    """Return the label that a part of a column is or begins with, not the number of a move: "Uno 1. Dxe3+?"."""
    found = _LABEL.match(part.of(text)) if part is not None else None
    if part is None or found is None:
        return None
    number = len(found[0].rstrip(".):").rstrip("0123456789"))
    if NUMBERED_MOVE.match(text, part.start + number, part.end):
        return None
    return Span(*found.span()).further_on(part.start)
