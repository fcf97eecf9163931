"""From the strokes of text on a page to its lines in reading order: columns, tables, running heads.

Lengths are in points, y grows upwards, as a PDF has them.
"""

import re
from collections import Counter
from collections.abc import Sequence
from statistics import median

from msgspec import Struct

from .model import BETWEEN_CELLS

_WIDEST = 60  # blanks
_NUMBERED = re.compile(r"\d{1,3}\s?(?:\.{1,3}|…)\s?\S|(?:[KQRBNSDTL♔-♟][a-h1-8x:]|[a-h][1-8x])\S*")
_LONE_NUMBER = re.compile(r"[\W_]*(?:\d{1,4}|[ivxlc]{1,7})[\W_]*", re.IGNORECASE)
_LEAST_COLUMN = 3  # lines
_GUTTER = 7.0
_SAME = 0.5  # of the height: two strokes that overlap so much stand in one line


class Stroke(Struct):
    """A run of characters on one line. `chars` are their numbers on the page, -1 for a blank that was added."""

    text: str
    chars: list[int]
    x0: float
    x1: float
    y0: float
    y1: float

    @property
    def height(self) -> float:
        """How high the characters are."""
        return self.y1 - self.y0

    @property
    def middle(self) -> float:
        """Where the line of the stroke runs."""
        return (self.y0 + self.y1) / 2


class Line(Struct):
    """A line as a person sees it, from left to right. `column`: lines of one number stand in one column."""

    strokes: list[Stroke]
    column: int = 0

    @property
    def text(self) -> str:
        """The text of the line; the gaps between its strokes are as wide in blanks as on the page."""
        text = self.strokes[0].text
        for stroke, gap in zip(self.strokes[1:], self._gaps(), strict=True):
            text += " " * gap + stroke.text
        return text

    def _gaps(self) -> list[int]:
        return [
            max(len(BETWEEN_CELLS), min(round((right.x0 - left.x1) / self.width), _WIDEST))
            for left, right in zip(self.strokes, self.strokes[1:], strict=False)
        ]

    @property
    def width(self) -> float:
        """How wide a character of the line is."""
        signs = sum(len(stroke.text) for stroke in self.strokes)
        return max(sum(stroke.x1 - stroke.x0 for stroke in self.strokes) / signs, 0.5)

    @property
    def chars(self) -> list[int]:
        """The characters of the line by their numbers on the page."""
        found = list(self.strokes[0].chars)
        for stroke, gap in zip(self.strokes[1:], self._gaps(), strict=True):
            found += [*[-1] * gap, *stroke.chars]
        return found

    @property
    def x0(self) -> float:
        """The left edge."""
        return self.strokes[0].x0

    @property
    def x1(self) -> float:
        """The right edge."""
        return max(stroke.x1 for stroke in self.strokes)

    @property
    def height(self) -> float:
        """How high the greatest part of the line is."""
        return max(self.strokes, key=lambda stroke: len(stroke.text)).height

    @property
    def middle(self) -> float:
        """Where the line runs."""
        return max(self.strokes, key=lambda stroke: len(stroke.text)).middle


def ordered(strokes: Sequence[Stroke]) -> list[Line]:
    """Return the lines of a page as one reads them: column after column, tables row by row."""
    lines: list[Line] = []
    for column, part in enumerate(_cut(list(strokes), 0)):
        rows = _rows(part)
        for row in rows:
            row.column = column
        lines += rows
    return lines


def _rows(strokes: list[Stroke]) -> list[Line]:
    """Put strokes that stand at one height in lines, from above."""
    rows: list[list[Stroke]] = []
    for stroke in sorted(strokes, key=lambda stroke: (-stroke.middle, stroke.x0)):
        last = rows[-1][0] if rows else None
        if last is not None and abs(last.middle - stroke.middle) < _SAME * min(last.height, stroke.height):
            rows[-1].append(stroke)
        else:
            rows.append([stroke])
    return [Line(sorted(row, key=lambda stroke: stroke.x0)) for row in rows]


def _cut(strokes: list[Stroke], depth: int) -> list[list[Stroke]]:
    """Part a page at what runs across its columns, and each part into columns."""
    gutter = _gutter(strokes) if depth < 4 else None
    if gutter is None:
        return [strokes] if strokes else []
    across = sorted((each for each in strokes if _crosses(each, gutter)), key=lambda each: -each.middle)
    edges = [each.middle for each in across]
    bands: list[list[Stroke]] = [[] for _ in range(len(edges) + 1)]
    for each in strokes:
        if not _crosses(each, gutter):
            bands[sum(edge > each.middle for edge in edges)].append(each)
    parts: list[list[Stroke]] = [[]]
    for number, band in enumerate(bands):
        left = [each for each in band if each.x1 <= gutter]
        right = [each for each in band if each.x1 > gutter]
        if _columns(left, right):
            parts += [*_cut(left, depth + 1), *_cut(right, depth + 1), []]
        else:
            parts[-1] += band
        if number < len(across):
            parts[-1].append(across[number])
    return [part for part in parts if part]


def _crosses(stroke: Stroke, x: float) -> bool:
    return stroke.x0 < x - 1 and stroke.x1 > x + 1


def _gutter(strokes: list[Stroke]) -> float | None:
    """Return where, in the middle part of the page, the fewest lines run; None if there is no such place."""
    if len(strokes) < 2 * _LEAST_COLUMN:
        return None
    left, right = min(each.x0 for each in strokes), max(each.x1 for each in strokes)
    width = int(right - left)
    if width < 60 or width > 20_000:
        return None
    change = [0] * (width + 2)
    for each in strokes:
        change[max(int(each.x0 - left), 0)] += 1
        change[min(int(each.x1 - left) + 1, width + 1)] -= 1
    cover, running = [], 0
    for each_change in change:
        running += each_change
        cover.append(running)
    middle = range(int(width * 0.15), int(width * 0.85))
    least = min(cover[x] for x in middle)
    if least > 0.3 * len(strokes) / 2:
        return None
    best, start = (0, 0), None
    for x in [*middle, -1]:
        free = x >= 0 and cover[x] == least
        if free and start is None:
            start = x
        elif not free and start is not None:
            end = x if x >= 0 else middle[-1] + 1
            best = max(best, (end - start, (start + end) // 2))
            start = None
    return left + best[1] if best[0] >= _GUTTER else None


def _columns(left: list[Stroke], right: list[Stroke]) -> bool:
    """Tell two columns from a table, in whose rows moves answer moves."""
    lefts, rights = _rows(left), _rows(right)
    if len(lefts) < _LEAST_COLUMN or len(rights) < _LEAST_COLUMN:
        return False
    heights = [line.middle for line in lefts]
    beside = [line for line in rights if any(abs(line.middle - other) < 1.5 for other in heights)]
    if len(beside) < 0.7 * min(len(lefts), len(rights)):
        return True
    if median(len(line.text) for line in (*lefts, *rights)) >= 28:
        return True
    answers = sum(_NUMBERED.match(line.text.lstrip()) is not None for line in beside)
    return answers < 0.5 * len(beside) and not _short(rights)


def _short(lines: list[Line]) -> bool:
    """Tell cells of a table, a word or two each."""
    return median(len(line.text) for line in lines) < 10


def without_running_heads(pages: list[list[Line]]) -> list[list[Line]]:
    """Leave out what is printed on every page: headers, footers, page numbers."""
    edges = [(_edge(page, top=True), _edge(page, top=False)) for page in pages]
    seen: Counter[tuple[bool, str]] = Counter()
    for top, bottom in edges:
        for line, at_top in ((top, True), (bottom, False)):
            if line is not None:
                seen[at_top, _likeness(line)] += 1
    kept = []
    for page, (top, bottom) in zip(pages, edges, strict=True):
        left_out = [
            line
            for line, at_top in ((top, True), (bottom, False))
            if line is not None and (seen[at_top, _likeness(line)] >= 3 or _LONE_NUMBER.fullmatch(line.text))
        ]
        kept.append([line for line in page if not any(line is each for each in left_out)])
    return kept


def _edge(page: list[Line], *, top: bool) -> Line | None:
    if len(page) < 2:
        return None
    return max(page, key=lambda line: line.middle if top else -line.middle)


def _likeness(line: Line) -> str:
    return re.sub(r"\d+|\b[ivxlc]+\b", "#", " ".join(line.text.split()))
