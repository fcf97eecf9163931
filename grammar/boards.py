"""Boards drawn with characters: eight lines of eight squares, White in capitals or figurines.

Where a mark tells the colours ("P*", "(P)"), the men that have it are Black; of "^K" and "#K" the second.
Frames, rank numbers, file letters and bars between the squares are optional. Rank
numbers or file letters decide which side is at the bottom; without them it is White
(FIDE Laws, C.5 and C.6: files a to h from White's left, ranks from White's side). Numbers
that count upward from the top may be those of the ranks or those of the lines.
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache

import chess
from msgspec.structs import replace

from .board_men import Names, emptied
from .document import Diagram, TextFault
from .in_lines import LinesThat
from .letters import FIGURINES
from .ranks import SELECTORS, Cell, Files, Line, Row, Rule, at, classify
from .side_by_side import Column, find_columns
from .spans import Span, lines_of

_DRAUGHTSMEN = frozenset("bwoxmdk")  # in small letters; a board of these, all on one colour, is no chess board


def find_boards(text: str) -> Iterator[Diagram]:
    """Yield every drawn board in `text` (masked text of a document) in order. Never raises for any text."""
    yield from _all_boards(text)


@lru_cache(maxsize=2)  # the reader of a file, and whoever parts it into puzzles, ask for the same
def _all_boards(text: str) -> tuple[Diagram, ...]:
    found = [diagram for columns in find_columns(text) for diagram in _side_by_side(columns, text)]
    for group in _groups(text):
        found += boards_of(group, text)
    return tuple(sorted(found, key=lambda diagram: diagram.span))


_DRAWN = LinesThat(lambda line: classify(line.rstrip("\r\n")))


def _groups(text: str) -> Iterator[list[tuple[int, Line]]]:
    """Yield the lines of drawings that follow each other, each with its offset, or with one empty line between all."""
    group: list[tuple[int, Line]] = []
    gaps, gap = 0, False
    spans = lines_of(text).spans
    drawn = list(_DRAWN.numbers(text))
    for number in sorted({near for each in drawn for near in range(each, min(each + 3, len(spans)))}):
        span = spans[number]  # two lines behind what is drawn nothing is left of a group
        line = span.of(text)
        kind = classify(line)
        if kind is None and group and not gap and not line.strip() and gaps == len(group) - 1:
            gap = True
            continue
        if gap and kind is not None and (isinstance(kind, Files) or _ranks_of(group) < 8):
            gaps += 1
        elif gap or kind is None:
            yield group
            group, gaps = [], 0
        elif gaps:  # what follows at once belongs to the last line alone
            yield group[:-1]
            group, gaps = group[-1:], 0
        gap = False
        if kind is not None:
            group.append((span.start, at(kind, span.start)))
    yield group


def _ranks_of(group: list[tuple[int, Line]]) -> int:
    return sum(isinstance(line, Row) for _, line in group)


def _side_by_side(columns: Sequence[Column], text: str) -> Iterator[Diagram]:
    """Read boards that stand side by side: all of them, or none where one is no board."""
    boards = [diagram for column in columns for diagram in boards_of(column.lines, text)]
    if len(boards) != len(columns):
        return
    for column, board in zip(columns, boards, strict=True):
        yield shown_at(board, column.shown, column.heading)


def shown_at(board: Diagram, shown: Span, heading: Span | None) -> Diagram:
    """Return a board of which the drawing takes turns with other text, as one that stands at `shown`."""
    inside = [
        fault if shown.start <= fault.span.start < fault.span.end <= shown.end else TextFault(shown, fault.message)
        for fault in board.faults
    ]
    return replace(board, span=shown, heading=heading, faults=tuple(inside))


def boards_of(group: list[tuple[int, Line]], text: str) -> Iterator[Diagram]:
    """Yield the boards of consecutive lines, each line given with the offset where it starts."""
    if sum(isinstance(line, Row) for _, line in group) < 6:
        return
    for part in _split(group):
        rows = [(start, line) for start, line in part if isinstance(line, Row)]
        diagram = _board(_without_rules(rows), part, text)
        if diagram is not None:
            yield diagram


def _without_rules(rows: list[tuple[int, Row]]) -> list[tuple[int, Row]]:
    """Leave out lines such as "--------" that draw a frame and no rank, where that makes eight ranks."""
    if len(rows) == 10 and rows[0][1].may_be_rule and rows[-1][1].may_be_rule:
        return rows[1:-1]
    sure = [(start, row) for start, row in rows if not row.may_be_rule]
    return sure if len(rows) != 8 and len(sure) == 8 else rows


def _split(group: list[tuple[int, Line]]) -> Iterator[list[tuple[int, Line]]]:
    """Part boards that follow each other without a blank line."""
    rows = [line for _, line in group if isinstance(line, Row)]
    if len(rows) < 14:
        yield group
        return
    part: list[tuple[int, Line]] = []
    count = 0
    for item in group:
        if count == 8 and isinstance(item[1], Row):
            yield part
            part, count = [], 0
        part.append(item)
        count += isinstance(item[1], Row)
    yield part


def _columns(rows: Sequence[tuple[int, Row]], files: Files | None, files_start: int, text: str) -> list[int] | None:
    """Return where in each row its squares stand (from the field's start), or None if no spacing fits."""
    occupied = {
        column
        for _, row in rows
        for column, sign in enumerate(row.field.of(text))
        if not sign.isspace() and sign not in SELECTORS
    }
    if all(row.framed for _, row in rows):
        widths = {row.field.end - row.field.start for _, row in rows}
        if len(widths) != 1:
            return None
        width = widths.pop()
        for stride in range(1, width // 7 + 1):
            for first in range(stride):
                columns = [first + stride * file for file in range(8)]
                if width - stride <= columns[-1] < width and occupied <= set(columns):
                    return columns
        return None
    if files is None or not all(row.label for _, row in rows):
        return None
    fields = {row.field.start - start for start, row in rows}
    if len(fields) != 1:
        return None
    shift = fields.pop()
    columns = [column - files_start - shift for column in files.columns]
    return columns if min(columns) >= 0 and occupied <= set(columns) else None


def _by_column(rows: Sequence[tuple[int, Row]], columns: list[int], text: str) -> list[tuple[Cell, ...]]:
    read = []
    for _, row in rows:
        field = row.field.of(text)
        cells = []
        for column in columns:
            sign = field[column].strip() if column < len(field) else ""
            place = row.field.start + column
            cells.append(Cell(sign, Span(place, place + 1)))
        read.append(tuple(cells))
    return read


def _board(rows: Sequence[tuple[int, Row]], part: list[tuple[int, Line]], text: str) -> Diagram | None:
    files, files_start = next(((line, start) for start, line in part if isinstance(line, Files)), (None, 0))
    ranks = [row.cells for _, row in rows]
    if any(len(cells) < 7 for cells in ranks):
        columns = _columns(rows, files, files_start, text)
        if columns is None:
            return None
        ranks = _by_column(rows, columns, text)
    ranks = emptied(ranks)
    if any(sum(cell.filler for cell in cells) > 1 for cells in ranks):
        return None
    men = [cell for cells in ranks for cell in cells if not cell.empty]
    full = sum(len(cells) == 8 for cells in ranks)
    if len(men) < 2 or full < 6 or not 7 <= len(rows) <= 9:
        return None
    if _draughts(ranks, men):
        return None
    names = Names(men)
    kings = {names.of(cell)[1] for cell in men if names.of(cell)[0] == "K" or cell.sign in "♔♚"}
    drawn = any(row.framed or row.label for _, row in rows)
    if len(rows) != 8 and not (len(kings) == 2 or drawn):
        return None
    span = _extent(part)
    diagram = _place(rows, ranks, files, span, _faults(rows, ranks, files, span))
    return replace(diagram, others=tuple(_numbered_otherwise(diagram.pieces, rows, files)))


def _draughts(ranks: Sequence[tuple[Cell, ...]], men: Sequence[Cell]) -> bool:
    """Tell a board of draughts: its men are of two or three kinds and stand on squares of one colour."""
    if len(men) < 4 or not {cell.letter.lower() for cell in men} <= _DRAUGHTSMEN:
        return False
    shades = {
        (rank + file) % 2 for rank, cells in enumerate(ranks) for file, cell in enumerate(cells) if not cell.empty
    }
    return len(shades) == 1


def _extent(part: list[tuple[int, Line]]) -> Span:
    """Return the span of the drawing; a rule above it that none below answers underlines a heading."""
    lines = [line for _, line in part]
    if isinstance(lines[0], Rule) and isinstance(lines[-1], Row):
        lines = lines[1:]
    return lines[0].span.to(lines[-1].span)


def _rank_number(index: int, rows: Sequence[tuple[int, Row]], black_below: bool) -> int:
    return rows[index][1].label or (index + 1 if black_below else 8 - index)


def _black_below(rows: Sequence[tuple[int, Row]], files: Files | None) -> bool:
    if all(row.label for _, row in rows):
        return (rows[0][1].label or 0) < (rows[-1][1].label or 0)
    return files is not None and files.reversed


def _faults(
    rows: Sequence[tuple[int, Row]], ranks: Sequence[tuple[Cell, ...]], files: Files | None, span: Span
) -> list[TextFault]:
    faults: list[TextFault] = []
    if len(rows) != 8:
        return [TextFault(span, f"the board has {len(rows)} ranks")]
    black_below = _black_below(rows, files)
    labels = [row.label for _, row in rows if row.label]
    if len(labels) == 8:
        expected = list(range(1, 9)) if black_below else list(range(8, 0, -1))
        wrong = next((i for i in range(8) if labels[i] != expected[i]), None)
        if wrong is not None:
            faults.append(
                TextFault(rows[wrong][1].span, f"this rank is numbered {labels[wrong]}; {expected[wrong]} comes next")
            )
        elif files is not None and files.reversed and not black_below:
            faults.append(TextFault(files.span, "the file letters and the rank numbers contradict each other"))
    for index, cells in enumerate(ranks):
        if len(cells) != 8:
            number = _rank_number(index, rows, black_below)
            faults.append(TextFault(rows[index][1].span, f"rank {number} of the board has {len(cells)} squares"))
    return faults


def _place(
    rows: Sequence[tuple[int, Row]],
    ranks: Sequence[tuple[Cell, ...]],
    files: Files | None,
    span: Span,
    faults: list[TextFault],
) -> Diagram:
    names = Names([cell for cells in ranks for cell in cells if not cell.empty])
    black_below = _black_below(rows, files)
    from_right = files.reversed if files is not None else black_below
    pieces: dict[chess.Square, chess.Piece] = {}
    piece_spans: dict[chess.Square, Span] = {}
    for index, cells in enumerate(ranks):
        for place, cell in enumerate(cells):
            if cell.empty:
                continue
            if cell.sign in FIGURINES:
                piece = FIGURINES[cell.sign]
            elif named := names.man(cell):
                piece = named
            else:
                faults.append(TextFault(cell.span, f"{cell.sign} names no man on this board"))
                continue
            if len(rows) == 8 and len(cells) == 8:
                file = 7 - place if from_right else place
                square = chess.square(file, _rank_number(index, rows, black_below) - 1)
                pieces[square] = piece
                piece_spans[square] = cell.span
    return Diagram(kind="board", span=span, pieces=pieces, piece_spans=piece_spans, faults=tuple(faults))


def _numbered_otherwise(
    pieces: dict[chess.Square, chess.Piece], rows: Sequence[tuple[int, Row]], files: Files | None
) -> Iterator[dict[chess.Square, chess.Piece]]:
    """Yield what else a board may show whose ranks are numbered upward from the top, unless its files are told too.

    The numbers may count the lines of a board that is seen from White's side; without letters the files are
    those of Black's left or of White's.
    """
    if not all(row.label for _, row in rows) or not _black_below(rows, files) or (files and files.reversed):
        return
    for turned in (7, 63) if files is None else (56,):
        yield {square ^ turned: piece for square, piece in pieces.items()}
