"""Tables that speak of several puzzles: with a column for each, or a row.

    | desk | A       | B       | remarks                  |        | puzzle | key    | mates              |
    | 1    | 1.Ra6   | 1.Qc3   | B: 1.Qc3+ is met by Kd7  |        | 1      | 1.Qf6  | 1...Kh5 2.Qh4#     |

A column is that of the puzzle that its head names, or of the position that stands in it. Whether the first cells
of rows name puzzles, and not moves or solvers, is decided by what can be played.
"""

import itertools
import re
from collections.abc import Iterator, Sequence

from keyproof.grammar.document import Document
from keyproof.grammar.sections import Sections
from keyproof.grammar.spans import Span, lines_of
from keyproof.grammar.words import NUMBERS, ORDINALS, number_said, one_of
from msgspec import Struct, field

from .naming import Naming
from .pricing import Pricing

_RULE = re.compile(r"[\s|:+=_–-]+")
_NAME = re.compile(
    r"\W*(?:[^\W\d_]{2,}\.?\s+|[A-Z]\.?\s?)?#?(?P<name>\d{1,4}[a-h]?|[A-H]|[a-h]|[IVX]{1,5})"
    r"(?:\W+(?:cont(?:inued|d|['’]d)?|ctd|again|ditto|Forts(?:etzung)?|suite|lines|tries|variations|notes|key))?\W*"
)
_TOLD = re.compile(
    rf"\W*(?:the\s+)?(?:[^\W\d_]+\s+)?(?P<place>{one_of([*NUMBERS, *ORDINALS])})(?:\s+[^\W\d_]+)?\W*", re.I
)
_ROMAN = {"I": 1, "II": 2, "III": 3, "IV": 4, "V": 5, "VI": 6, "VII": 7, "VIII": 8, "IX": 9, "X": 10}
_SAYS = re.compile(r"[^\W\d_]|0-0|[#=]")  # marks say nothing of the play
_PLAYS = re.compile(r"[a-h][1-8]|[0Oo]-[0Oo]")
_MOST_TRIED = 60  # cells of a table by which it is decided whether it speaks of the puzzles that it names

Row = list[Span]


class SortedOut(Struct):
    """The cells of a table that belong to one puzzle, with its index, and those that may speak of any.

    These with what the cells of their row say of which puzzle.
    """

    cells: list[tuple[int, Span]] = field(default_factory=list)
    remarks: list[tuple[Span, dict[str, int]]] = field(default_factory=list)


class Tables:
    """The tables of a file, each as rows of cells without the lines that are drawn."""

    def __init__(self, document: Document, sections: Sections, shown: Sequence[int]) -> None:
        self.document = document
        self.masked = document.masked
        self.places = {diagram.span.start: index for index in shown for diagram in sections.puzzles[index].diagrams}
        self.found = list(_tables(document.text))

    def sorted_out(self, rows: list[Row], open_to: Sequence[int], names: Naming, pricing: Pricing) -> SortedOut | None:
        """Return the cells of a table by the puzzles they speak of, None where the table says nothing of that.

        `open_to` are the puzzles from whose positions can be played.
        """
        columns = self._columns(rows, names)
        found = self._by_column(rows, columns) if columns else self._by_row(rows, names)
        sure = columns and len(columns) == len(rows[0]) - 1
        return found if found and (sure or self._played(found, open_to, pricing, alike=bool(columns))) else None

    def whole(self, rows: Sequence[Row]) -> Span:
        """Return the lines of a table, with the bars around it."""
        lines = lines_of(self.document.text)
        first, last = (lines.place(each.start)[0] for each in (rows[0][0], rows[-1][-1]))
        return lines.line_span(first).to(lines.line_span(last))

    def _shown(self, cell: Span) -> int | None:
        """Return the puzzle whose position stands in a cell."""
        return next((index for place, index in self.places.items() if cell.start <= place < cell.end), None)

    def _columns(self, rows: Sequence[Row], names: Naming) -> dict[int, int]:
        """Return the puzzles of columns, by their places in a row; none where fewer than two have one."""
        for row in rows:
            shown = {place: index for place, cell in enumerate(row) if (index := self._shown(cell)) is not None}
            if len(set(shown.values())) > 1:
                return shown
        named = {
            place: index
            for place, cell in enumerate(rows[0])
            if (index := _puzzle(cell.of(self.document.text), names)) is not None
        }
        return named if len(set(named.values())) == len(named) > 1 else {}

    def _by_column(self, rows: Sequence[Row], columns: dict[int, int]) -> SortedOut:
        found = SortedOut()
        said: dict[str, int] = {}
        for row in rows[1:] if self._shown(rows[0][0]) is None else rows:
            if len(row) != len(rows[0]) or any(self._shown(cell) is not None for cell in row):
                continue
            cells = {place: words for place, cell in enumerate(row) if (words := self._words(cell)) is not None}
            own = [(columns[place], cell) for place, cell in cells.items() if place in columns]
            if own or row[0].of(self.masked).strip():  # else the remarks of the row above go on
                said = {cell.of(self.masked): index for index, cell in own}
            found.cells += own
            found.remarks += [(cell, said) for place, cell in cells.items() if place > 0 and place not in columns]
        return found

    def _words(self, cell: Span) -> Span | None:
        words = inked(self.masked, cell)
        return words if words is not None and _SAYS.search(words.of(self.masked)) else None

    def _by_row(self, rows: Sequence[Row], names: Naming) -> SortedOut | None:
        """Return the rows by the puzzles they name: in their first cells, or in all cells of some other column.

        Those below a row that have nothing there belong to it.
        """
        if any(self._shown(cell) is not None for row in rows for cell in row):
            return None  # the layout knows what stands on the line of a position
        columns = itertools.chain((0,), self._naming(rows, names))
        return next((found for column in columns if (found := self._of_rows(rows, column, names)) is not None), None)

    def _naming(self, rows: Sequence[Row], names: Naming) -> Iterator[int]:
        """Yield the columns behind the first in which every row below the head names a puzzle."""
        text = self.document.text
        for column in range(1, len(rows[0]) - 1):
            if all(len(row) > column and _puzzle(row[column].of(text), names) is not None for row in rows[1:]):
                yield column

    def _of_rows(self, rows: Sequence[Row], column: int, names: Naming) -> SortedOut | None:
        found = SortedOut()
        current: int | None = None
        for row in rows:
            if len(row) > column and row[column].of(self.masked).strip():
                current = _puzzle(row[column].of(self.document.text), names)
            rest = inked(self.masked, row[column + 1].to(row[-1])) if len(row) > column + 1 else None
            before = [
                words
                for cell in row[:column]
                if (words := inked(self.masked, cell)) and _PLAYS.search(words.of(self.masked))
            ]
            if current is not None:
                found.cells += [(current, cell) for cell in (*before, rest) if cell is not None]
        return found if len({index for index, _ in found.cells}) > 1 else None

    def _played(self, found: SortedOut, open_to: Sequence[int], pricing: Pricing, *, alike: bool) -> bool:
        """Tell whether cells can be played where they are, better than all of them on the same position.

        Or as well, where `alike` is enough.
        """
        tried = [(index, cell) for index, cell in found.cells if index in open_to][:_MOST_TRIED]
        own = sum(pricing.of(cell, index)[0] for index, cell in tried)
        same = min((sum(pricing.of(cell, index)[0] for _, cell in tried) for index in open_to), default=own)
        return own <= same if alike else own < same


def _tables(text: str) -> Iterator[list[Row]]:
    """Yield the tables of a text, each as rows of cells, without the lines that are drawn."""
    rows: list[Row] = []
    for line in lines_of(text).spans:
        bars = [line.start + at for at, sign in enumerate(line.of(text)) if sign == "|"] if "|" in line.of(text) else []
        if len(bars) < 2:
            if len(rows) > 1:
                yield rows
            rows = []
        elif not _RULE.fullmatch(line.of(text)):
            rows.append(_row(text, line, bars))
    if len(rows) > 1:
        yield rows


def _row(text: str, line: Span, bars: list[int]) -> Row:
    edges = [line.start - 1, *bars, line.end]
    cells = [Span(before + 1, after) for before, after in itertools.pairwise(edges)]
    framed = line.of(text).strip()
    return cells[framed.startswith("|") : len(cells) - framed.endswith("|")]


def _puzzle(words: str, names: Naming) -> int | None:
    words = words.replace("*", " ").replace("`", " ")
    said = _NAME.fullmatch(words)
    if said is None:
        told = _TOLD.fullmatch(words)
        place = number_said(told["place"]) - 1 if told is not None else -1
        return names.labels.order[place] if 0 <= place < len(names.labels.order) else None
    name = said["name"]
    if name.lower() in names.labels.labels:
        return names.labels.labels[name.lower()]
    number = int(name) if name.isdecimal() else _ROMAN.get(name)
    return None if number is None else names.by_name.get(number)


def inked(masked: str, cell: Span) -> Span | None:
    """Return a stretch without the blanks around it, None if there is nothing else."""
    words = cell.of(masked)
    if not words.strip():
        return None
    start = cell.start + len(words) - len(words.lstrip())
    return Span(start, start + len(words.strip()))
