"""The lines of a PDF as passages: paragraphs, headings by their size, words that were parted at a line end."""

import re
from collections.abc import Iterator
from itertools import pairwise
from statistics import median

from keyproof.grammar.traces import NUMBERED_MOVE
from msgspec import Struct

from .model import Extract, Passage, Piece, exact
from .pdf_layout import Line

_HYPHENS = "-\u00ad\u0002\u2010"
_PARTED_WORD = re.compile(rf"[^\W\d_a-h][{_HYPHENS}]\Z|[^\W\d_]{{2}}[{_HYPHENS}]\Z")
_PARTED_MOVE = re.compile(rf"[a-h][1-8][{_HYPHENS}]\Z")
_GOES_ON = re.compile(r"[^\W\d_]")
_SQUARE = re.compile(r"[KQRBNSDTL]?[a-h][1-8]")
_ENDED = (".", "!", "?", ":", "#", "‡", ")")
_INDENT = 12  # characters
_LARGER = 1.15  # times the size of the text: a heading
_LOOSER = 1.35  # times the usual distance of two lines: a new paragraph


class Chars(Struct, frozen=True):
    """The node of a piece: characters by their numbers on a page, which is counted from 0; -1 is none."""

    page: int
    numbers: list[int]


_Edges = dict[int, tuple[float, float, float]]  # of the columns of a page


class _Paragraph(Struct):
    lines: list[tuple[int, int, Line]]  # page from 0, line from 1


def passages(pages: list[list[Line]], extract: Extract, figures: list[list[str]]) -> None:
    """Add the passages of all pages, and what the notes say of the pictures on each."""
    size = _usual_size(pages)
    sizes = sorted(
        {round(line.height) for page in pages for line in page if line.height > _LARGER * size}, reverse=True
    )
    edges = [_edges(page) for page in pages]
    noted = 0
    for paragraph in _paragraphs(pages, edges):
        page = paragraph.lines[0][0]
        while noted < page:
            extract.notes += [(len(extract.passages), words) for words in figures[noted]]
            noted += 1
        extract.passages.append(_passage(paragraph, size, sizes, edges))
    for words in (words for page in figures[noted:] for words in page):
        extract.note(words)


def _usual_size(pages: list[list[Line]]) -> float:
    heights = [line.height for page in pages for line in page for _ in range(1 + len(line.text) // 10)]
    return median(heights) if heights else 0.0


def _paragraphs(pages: list[list[Line]], edges: list[_Edges]) -> Iterator[_Paragraph]:
    """Part the lines where one would see a new paragraph."""
    current: _Paragraph | None = None
    for page, lines in enumerate(pages):
        for number, line in enumerate(lines, 1):
            if current is not None and _goes_on(current.lines[-1], (page, number, line), edges):
                current.lines.append((page, number, line))
                continue
            if current is not None:
                yield current
            current = _Paragraph([(page, number, line)])
    if current is not None:
        yield current


def _edges(lines: list[Line]) -> _Edges:
    """Return the left and right edge of each column, and the usual distance of its lines."""
    found = {}
    for column in {line.column for line in lines}:
        own = [line for line in lines if line.column == column]
        steps = [step for one, other in pairwise(own) if (step := one.middle - other.middle) > 0]
        # The distance within paragraphs is the usual small one: most of the others are those between paragraphs.
        usual = sorted(steps)[len(steps) // 3] if steps else 0.0
        found[column] = (min(line.x0 for line in own), max(line.x1 for line in own), usual)
    return found


def _goes_on(before: tuple[int, int, Line], after: tuple[int, int, Line], edges: list[_Edges]) -> bool:
    """Tell whether a line belongs to the paragraph of the line before."""
    last, line = before[2], after[2]
    if abs(last.height - line.height) > 0.12 * max(last.height, line.height):
        return False
    left, right, usual = edges[after[0]][line.column]
    if before[0] != after[0] or last.column != line.column:
        own = edges[before[0]][last.column]
        full = last.x1 > own[1] - 0.15 * (own[1] - own[0])
        return full and not last.text.rstrip().endswith(_ENDED) and line.x0 < left + 0.8 * line.height
    step = last.middle - line.middle
    if step > _LOOSER * usual + 0.5 or step < 0:
        return False
    indented = line.x0 > left + 0.8 * line.height and last.x0 < left + 0.4 * line.height
    return not (indented and last.x1 < right + 1 and last.text.rstrip().endswith(_ENDED))


def _passage(paragraph: _Paragraph, size: float, sizes: list[int], edges: list[_Edges]) -> Passage:
    passage = Passage()
    first = paragraph.lines[0][2]
    if first.height > _LARGER * size and len(paragraph.lines) <= 3:
        passage.kind, passage.level = "heading", 1 + sizes.index(round(first.height))
    if len(paragraph.lines) == 1 and len(first.strokes) > 1:
        passage.kind = "cell"
    for index, (page, number, line) in enumerate(paragraph.lines):
        following = paragraph.lines[index + 1][2] if index + 1 < len(paragraph.lines) else None
        passage.places.append((passage.size, f"page {page + 1}, line {number}"))
        indent = round((line.x0 - edges[page][line.column][0]) / line.width)
        if _INDENT <= indent < 100:  # it may stand in Black's column
            passage.add(Piece(" " * indent))
        full = passage.kind == "heading" or (
            following is not None and _full(line, following, edges[page][line.column][1])
        )
        text, end = _joined(line.text, None if following is None else following.text, full=full)
        passage.add(exact(text, Chars(page, line.chars)))
        if end:
            passage.add(Piece(end))
    return passage


def _full(line: Line, following: Line, right: float) -> bool:
    """Tell a line that ends because the next word has no room from one that its author ended."""
    if len(line.strokes) > 1 or len(following.strokes) > 1 or NUMBERED_MOVE.match(following.text.lstrip()):
        return False
    word = following.text.split(maxsplit=1)[0] if following.text.strip() else ""
    width = (line.x1 - line.x0) / max(len(line.text), 1)
    return line.x1 + width * (len(word) + 1) > right - width


def _joined(text: str, following: str | None, *, full: bool) -> tuple[str, str]:
    """Return a line as it goes on in the next, and what stands between the two."""
    if following is None:
        return text, ""
    rest = following.lstrip()
    if _PARTED_MOVE.search(text) and _SQUARE.match(rest):
        return text, ""
    if _PARTED_WORD.search(text) and _GOES_ON.match(rest) and rest[0].islower():
        return text[:-1], ""
    return text, " " if full else "\n"
