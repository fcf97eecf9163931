"""Boards printed side by side: the lines of a drawing parted into columns, one for each board.

Spans of positions do not overlap, and the ranks of two such boards take turns on the lines. So each board
is shown at the words over its column, or at its first rank where there are none; the last one has the drawing.
"""

import re
from collections.abc import Iterator, Sequence

from msgspec import Struct

from .in_lines import LinesThat
from .ranks import Line, Row, at, classify
from .remembering import remembered
from .spans import Span, lines_of

_PART = re.compile(r"\S+(?:[ \t]{1,2}\S+)*")  # three blanks part two columns
_LABEL = re.compile(r"(?:No\.?\s?)?\d{1,4}[.):]?")
_SLACK = 6  # columns that words over a board may begin before it
_FEWEST_RANKS = 6


class Column(Struct, frozen=True):
    """The lines of one board, each with where it begins; `shown` is its place, `heading` what stands over it."""

    lines: list[tuple[int, Line]]
    shown: Span
    heading: Span | None


def find_columns(text: str) -> Iterator[list[Column]]:
    """Yield the columns of each group of boards that stand side by side in `text`. Never raises."""
    group: list[list[Line]] = []
    above: list[Span] = []
    over: tuple[int, tuple[Span, ...]] = 0, ()  # the words above, and where their line begins
    spans, last = lines_of(text).spans, -1
    parted = list(_PARTED.numbers(text))
    for number in sorted({near for each in parted for near in (each, each + 1) if near < len(spans)}):
        over, last = _above(text, spans[last + 1 : number]) or over, number
        span = spans[number]
        parts = _parts(span.of(text))
        if len(parts) < 2 and not group:
            over = (span.start, parts) if parts else over
            continue
        labels = [part.further_on(span.start) for part in _labels(span.of(text), parts)]
        parts = parts[1::2] if labels else parts
        lines = _lines(text, [part.further_on(span.start) for part in parts]) if len(parts) > 1 else None
        if lines is not None and (not group or len(lines) == len(group[0])):
            if not group:
                above = labels or [part.further_on(over[0]) for part in over[1]]
            group.append(lines)
            continue
        if group:
            yield from _columns(text, group, above)
        group = [lines] if lines is not None else []
        if parts and not group:
            over = span.start, parts
    yield from _columns(text, group, above)


def _above(text: str, lines: Sequence[Span]) -> tuple[int, tuple[Span, ...]] | None:
    """Return where the last line with words begins, and these; None where there is none."""
    return next(((line.start, parts) for line in reversed(lines) if (parts := _parts(line.of(text)))), None)


@remembered
def _parts(line: str) -> tuple[Span, ...]:
    return tuple(Span(*part.span()) for part in _PART.finditer(line))


_PARTED = LinesThat(lambda line: len(_parts(line.rstrip("\r\n"))) > 1)


def _labels(line: str, parts: tuple[Span, ...]) -> tuple[Span, ...]:
    """Return the numbers that stand each before its board, on the line of the first rank; none if they do not."""
    labels = parts[::2]
    numbered = len(parts) % 2 == 0 and all(_LABEL.fullmatch(part.of(line)) for part in labels)
    return labels if numbered and len(labels) > 1 else ()


def _lines(text: str, parts: list[Span]) -> list[Line] | None:
    """Return what each part of a line is on its board, None if they are not all alike."""
    found: list[Line] = []
    for part in parts:
        line = classify(part.of(text))
        if line is None or (isinstance(line, Row) and (len(line.cells) < 7 or line.span.end != part.end - part.start)):
            return None
        found.append(at(line, part.start))
    return found if len({type(line) for line in found}) == 1 else None


def _columns(text: str, group: list[list[Line]], above: list[Span]) -> Iterator[list[Column]]:
    ranks = [lines for lines in group if isinstance(lines[0], Row)]
    if len(ranks) < _FEWEST_RANKS:
        return
    headings = above if _stand_over(text, above, ranks[0]) else None
    end = max(line.span.end for line in group[-1])
    columns = []
    for index in range(len(group[0])):
        heading = headings[index] if headings else None
        shown = heading or ranks[0][index].span
        shown = Span(shown.start, end) if index == len(group[0]) - 1 else shown
        columns.append(Column([(lines[index].span.start, lines[index]) for lines in group], shown, heading))
    yield columns


def _stand_over(text: str, words: list[Span], ranks: list[Line]) -> bool:
    """Tell whether the parts of a line stand each over its board."""
    if len(words) != len(ranks):
        return False

    def column(offset: int) -> int:
        return lines_of(text).place(offset)[1]

    edges = [column(rank.span.start) for rank in ranks]
    return all(
        edge - _SLACK <= column(each.start) and (index + 1 == len(edges) or column(each.end) <= edges[index + 1])
        for index, (each, edge) in enumerate(zip(words, edges, strict=True))
    )
