"""Tables with a column for each puzzle: "| | board A | board B |" over rows of keys, mates and tries.

Text is dealt out line by line, so what such a table says of several puzzles on one line is set apart beforehand.
"""

import itertools
import re
from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence

from keyproof.grammar.document import Document, PuzzleText
from keyproof.grammar.sections import Sections
from keyproof.grammar.spans import Span, lines_of
from msgspec import Struct
from msgspec.structs import replace

from .naming import Naming

_RULE = re.compile(r"[\s|:+=_–-]+")
_NAME = re.compile(r"\W*(?:[^\W\d_]{2,}\.?\s+)?#?(?P<name>\d{1,4}[a-h]?|[A-H]|[a-h]|[IVX]{1,5})\W*")
_ROMAN = {"I": 1, "II": 2, "III": 3, "IV": 4, "V": 5, "VI": 6, "VII": 7, "VIII": 8, "IX": 9, "X": 10}


class Apart(Struct, frozen=True):
    """What tables say of each puzzle, by where its position stands, and the sections without them."""

    cells: Mapping[Span, tuple[Span, ...]]
    sections: Sections

    def given_back(self, sections: Sections) -> Sections:
        """Return sections with the cells of the tables among the prose of their puzzles."""
        if not self.cells:
            return sections
        return replace(sections, puzzles=tuple(map(self._with_cells, sections.puzzles)))

    def _with_cells(self, puzzle: PuzzleText) -> PuzzleText:
        own = [span for diagram in puzzle.diagrams for span in self.cells.get(diagram.span, ())]
        return replace(puzzle, prose=tuple(sorted({*puzzle.prose, *own}))) if own else puzzle


def set_apart(document: Document, sections: Sections) -> Apart:
    """Take out of the prose of a file the tables that have a column for each of several puzzles."""
    shown = [index for index, puzzle in enumerate(sections.puzzles) if puzzle.diagrams and not puzzle.label]
    tables = list(_tables(document.text)) if len(shown) > 1 else []
    if not tables:
        return Apart({}, sections)
    shown.sort(key=lambda index: sections.puzzles[index].diagrams[0].span.start)
    names = Naming(document, [(index, sections.puzzles[index]) for index in shown])
    cells: dict[Span, list[Span]] = {}
    gone: list[Span] = []
    for rows in tables:
        named = _columns(document, rows[0], names)
        if named is None:
            continue
        for row in rows[1:]:
            if len(row) != len(rows[0]):
                continue
            for index, cell in zip(named, row[-len(named) :], strict=True):
                if (words := _inked(document.masked, cell)) is not None:
                    cells.setdefault(sections.puzzles[index].diagrams[0].span, []).append(words)
        gone.append(rows[0][0].to(rows[-1][-1]))
    if not gone:
        return Apart({}, sections)
    puzzles = tuple(replace(each, prose=_less(each.prose, gone, document.masked)) for each in sections.puzzles)
    rest = replace(sections, puzzles=puzzles, loose=_less(sections.loose, gone, document.masked))
    return Apart({place: tuple(spans) for place, spans in cells.items()}, rest)


def _tables(text: str) -> Iterator[list[list[Span]]]:
    """Yield the tables of a text, each as rows of cells, without the lines that are drawn."""
    rows: list[list[Span]] = []
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


def _row(text: str, line: Span, bars: list[int]) -> list[Span]:
    edges = [line.start - 1, *bars, line.end]
    cells = [Span(before + 1, after) for before, after in itertools.pairwise(edges)]
    outer = [cell for cell in (cells[0], cells[-1]) if not cell.of(text).strip()]
    return [cell for cell in cells if cell not in outer]


def _columns(document: Document, head: Sequence[Span], names: Naming) -> list[int] | None:
    """Return the puzzles that the columns of a table name, but for the first column, or None."""
    named = [_puzzle(cell.of(document.text), names) for cell in head[1:]]
    found = [index for index in named if index is not None]
    return found if len(found) == len(named) > 1 and len(set(found)) == len(found) else None


def _puzzle(words: str, names: Naming) -> int | None:
    said = _NAME.fullmatch(words.replace("*", " ").replace("`", " "))
    if said is None:
        return None
    name = said["name"]
    if name.lower() in names.labels.labels:
        return names.labels.labels[name.lower()]
    number = int(name) if name.isdigit() else _ROMAN.get(name)
    return None if number is None else names.by_name.get(number)


def _inked(masked: str, cell: Span) -> Span | None:
    words = cell.of(masked)
    if not words.strip():
        return None
    start = cell.start + len(words) - len(words.lstrip())
    return Span(start, start + len(words.strip()))


def _less(spans: Sequence[Span], gone: Sequence[Span], masked: str) -> tuple[Span, ...]:
    """Return stretches of text without those that are gone, which stand in order."""
    starts = [each.start for each in gone]
    found: list[Span] = []
    for span in spans:
        place = span.start
        for each in gone[max(0, bisect_left(starts, span.start) - 1) :]:
            if each.start >= span.end:
                break
            if each.end > place:
                found.append(Span(place, max(place, each.start)))
                place = max(place, each.end)
        found.append(Span(min(place, span.end), span.end))
    return tuple(kept for each in found if (kept := _inked(masked, each)) is not None)
