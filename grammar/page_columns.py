"""Boards drawn beside other text, as in books set in columns: lists of men, remarks or orders to their right or left.

The ranks of such a board share their lines with the other column. The board is taken out of the lines, and what
stands beside it is read as if it stood alone.

      12                 13   White: Kc3 Qh2
    8 . . k . . . . .         Black: Ke2
    7 . . . . . R . .
"""

import re
from collections.abc import Sequence

from msgspec import Struct
from msgspec.structs import replace

from .boards import boards_of, shown_at
from .document import Beside, Diagram, without_boards
from .men import find_lists
from .ranks import Line, Row, at, classify
from .side_by_side import find_columns
from .spans import Span, lines_of

_PART = re.compile(
    r"[a-hA-H](?:[ \t]+[a-hA-H]){7}(?!\S)|(?:[1-8][ \t]?)?[|│┃║][^\n]*[|│┃║](?:[ \t]?[1-8](?!\S))?"
    r"|\S+(?:[ \t]{1,2}\S+)*"
)
_LABEL = re.compile(r"(?:(?:No|Nr|Diagram)\.?\s?)?\d{1,4}[a-h]?[.):]?|[A-H][.):]?", re.I)
_FEWEST_RANKS = 7
_SLACK = 4  # columns between the edges of the lines of one board, as of its files and its ranks
_LABEL_LINES = 3  # above a board in which its label may stand
_WIDEST = 24  # columns of a board over which its label stands


class _Run(Struct):
    """Lines that may be those of one board, one below the other; each with the number of its line in the text."""

    edge: int  # the column at which its first line begins
    lines: list[tuple[int, Line]] = []

    @property
    def ranks(self) -> int:
        return sum(isinstance(line, Row) for _, line in self.lines)

    def goes_on(self, number: int, edge: int) -> bool:
        return self.lines[-1][0] == number - 1 and abs(edge - self.edge) <= _SLACK


def boards_beside(text: str) -> tuple[Beside, ...]:
    """Return the boards in `text` that share lines with what is no board, in order. Never raises."""
    parted = [_parts(text, span) for span in lines_of(text).spans]
    drawn: list[tuple[Diagram, list[Span]]] = []  # with where each may be shown, the likeliest first
    found: list[Beside] = []
    runs = _runs(text, parted)
    alike = _side_by_side(text) if runs else frozenset()
    for run in runs:
        if any(line.span.start in alike for _, line in run.lines):
            continue
        left, right = (_beside(text, parted, run, left=left) for left in (True, False))
        lines = [line for _, line in run.lines]
        if not left and not right:
            continue
        label = _label(text, parted, run)
        over = [label] if label else []
        spans = [line.span for line in lines]
        for board in boards_of([(line.span.start, line) for line in lines], text):
            found.append(Beside(replace(board, heading=label), (*over, *spans)))
            # what stands to the left of a board is read before it
            drawn.append((found[-1].diagram, [*reversed(spans)] if left else [*over, *spans]))
    lists = [diagram.span for diagram in find_lists(without_boards(text, found))] if found else []
    shown = []
    for each, (board, places) in zip(found, drawn, strict=True):
        free = (
            place for place in places if not any(span.start < place.end and place.start < span.end for span in lists)
        )
        shown.append(replace(each, diagram=shown_at(board, next(free, places[0]), board.heading)))
    return tuple(sorted(shown, key=lambda each: each.diagram.span))


def _side_by_side(text: str) -> frozenset[int]:
    """Return where the lines of boards begin that stand beside nothing but boards, and are read so."""
    groups = [columns for columns in find_columns(text) if all(any(boards_of(each.lines, text)) for each in columns)]
    return frozenset(start for columns in groups for each in columns for start, _ in each.lines)


def _parts(text: str, line: Span) -> list[Span]:
    return [Span(*part.span()).further_on(line.start) for part in _PART.finditer(line.of(text))]


def _column(text: str, offset: int) -> int:
    return lines_of(text).place(offset)[1]


def _line_of_board(text: str, part: Span) -> Line | None:
    """Return the part of a line as one of a board that is drawn square for square, None if it is none."""
    line = classify(part.of(text))
    if line is None or line.span.end < part.end - part.start:
        return None
    drawn = not isinstance(line, Row) or len(line.cells) >= _FEWEST_RANKS
    return at(line, part.start) if drawn else None


def _runs(text: str, parted: Sequence[Sequence[Span]]) -> list[_Run]:
    """Return what may be boards: lines one below the other that begin at one column."""
    runs: list[_Run] = []
    open_runs: list[_Run] = []
    for number, parts in enumerate(parted):
        for part in parts:
            line = _line_of_board(text, part)
            if line is None:
                continue
            edge = _column(text, part.start)
            run = next((run for run in open_runs if run.goes_on(number, edge)), None)
            if run is None:
                run = _Run(edge)
                runs.append(run)
                open_runs.append(run)
            run.lines.append((number, line))
        open_runs = [run for run in open_runs if run.lines[-1][0] == number]
    return [run for run in runs if run.ranks >= _FEWEST_RANKS]


def _beside(text: str, parted: Sequence[Sequence[Span]], run: _Run, *, left: bool) -> bool:
    """Tell whether anything but lines of boards stands beside the lines of a run, on its left or on its right."""
    return any(
        _line_of_board(text, part) is None
        for number, line in run.lines
        for part in parted[number]
        if (part.end <= line.span.start if left else line.span.end <= part.start)
    )


def _label(text: str, parted: Sequence[Sequence[Span]], run: _Run) -> Span | None:
    """Return the number or letter that stands over a board and nothing between, None if there is none."""
    first = run.lines[0][0]
    for number in range(first - 1, max(first - 1 - _LABEL_LINES, -1), -1):
        for part in parted[number]:
            if run.edge - _SLACK <= _column(text, part.start) <= run.edge + _WIDEST:
                return part if _LABEL.fullmatch(part.of(text)) else None
    return None
