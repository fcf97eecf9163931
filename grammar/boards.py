"""Boards drawn with characters: eight lines of eight squares, White in capitals or figurines.

Where a mark tells the colours ("P*", "(P)"), the men that have it are Black; of "^K" and "#K" the second.
Frames, rank numbers, file letters and bars between the squares are optional. Rank
numbers or file letters decide which side is at the bottom; without them it is White
(FIDE Laws, C.5 and C.6: files a to h from White's left, ranks from White's side).
"""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

import chess

from .document import Diagram, TextFault
from .letters import FIGURINES, LANGUAGES
from .men import choose_language
from .spans import Span, lines_of

_BARS = str.maketrans(dict.fromkeys("│┃║¦", "|"))
_EMPTY = frozenset(".-–—−+·•:*_#□■▢▫▪◻◼◽◾⬜⬛　")
_RULE = re.compile(r"[-+=_|:*─━═┌┐└┘├┤┬┴┼╔╗╚╝╠╣╦╩╬┏┓┗┛┣┫┳┻╋\s]*[-=_─━═][-+=_|:*─━═┌┐└┘├┤┬┴┼╔╗╚╝╠╣╦╩╬┏┓┗┛┣┫┳┻╋\s]*")
_FILES = re.compile(r"[\W_]*a[\W_]*b[\W_]*c[\W_]*d[\W_]*e[\W_]*f[\W_]*g[\W_]*h[\W_]*", re.IGNORECASE)
_FILES_REVERSED = re.compile(r"[\W_]*h[\W_]*g[\W_]*f[\W_]*e[\W_]*d[\W_]*c[\W_]*b[\W_]*a[\W_]*", re.IGNORECASE)
_LEFT_LABEL = re.compile(r"\s*([1-8])(?=[\s|]|$)")
_RIGHT_LABEL = re.compile(r"([1-8])(?<=[\s|].)\s*$")
_LETTERS = frozenset(letter for table in LANGUAGES.values() for letter in table if len(letter) == 1)
_WORD = re.compile(r"[^\W\d_]{4}")  # in a drawing only a rank without gaps has so many letters together
_SELECTORS = "\ufe0e\ufe0f"  # text or emoji style of the sign before, not a square
_MARKS = "*^#'~_"
_MARKED = re.compile(rf"(?P<before>[{re.escape(_MARKS)}])?(?P<man>[^\W\d_])(?P<behind>[{re.escape(_MARKS)}])?")
_IN_BRACKETS = re.compile(r"\((?P<man>[^\W\d_])\)")
_NO_CELL = re.compile(
    rf"(?<![^\s{_SELECTORS}])(?!{_IN_BRACKETS.pattern.replace('?P<man>', '?:')}(?!\S))[^\s{_SELECTORS}]{{3}}"
)
_DRAUGHTSMEN = frozenset("bwoxmdk")  # in small letters; a board of these, all on one colour, is no chess board


@dataclass(frozen=True)
class _Cell:
    sign: str
    span: Span

    @property
    def empty(self) -> bool:
        return not self.sign or (self.sign[0] in _EMPTY and self.sign.count(self.sign[0]) == len(self.sign))

    @property
    def known(self) -> bool:
        """Whether the sign is an empty square or a man in some language."""
        return self.empty or self.sign in FIGURINES or self.letter.upper() in _LETTERS

    @property
    def letter(self) -> str:
        if self.mark:
            return self.sign.strip("()" + _MARKS)
        return self.sign[1:] if len(self.sign) == 2 and self.sign[0] in "wb" else self.sign

    @property
    def mark(self) -> str:
        """The sign that tells a man's colour beside its letter, a bracket for both, "" for none."""
        if _IN_BRACKETS.fullmatch(self.sign):
            return "("
        marked = _MARKED.fullmatch(self.sign) if len(self.sign) == 2 else None
        return (marked["before"] or marked["behind"] or "") if marked else ""

    @property
    def colour(self) -> chess.Color:
        if self.sign in FIGURINES:
            return FIGURINES[self.sign].color
        if len(self.sign) == 2:
            return self.sign[0] == "w"
        return self.sign.isupper()


@dataclass(frozen=True)
class _Row:
    """A line that may be a rank. `field` is the place of the squares, for boards read by column."""

    span: Span
    label: int | None
    cells: tuple[_Cell, ...]
    field: Span
    framed: bool

    @property
    def may_be_rule(self) -> bool:
        return self.label is None and all(cell.sign and set(cell.sign) <= set("-–—−_+") for cell in self.cells)


@dataclass(frozen=True)
class _Files:
    span: Span
    reversed: bool
    columns: tuple[int, ...]  # in the line, in the order printed


@dataclass(frozen=True)
class _Rule:
    span: Span


_Line = _Row | _Files | _Rule


def _tokens(text: str, start: int) -> tuple[_Cell, ...]:
    return tuple(
        _Cell(m[0].rstrip(_SELECTORS), Span(start + m.start(), start + m.end())) for m in re.finditer(r"\S+", text)
    )


def _signs(text: str, start: int) -> tuple[_Cell, ...]:
    return tuple(
        _Cell(sign, Span(place, place + 1)) for place, sign in enumerate(text, start) if sign not in _SELECTORS
    )


def _row(line: str, start: int, end: int) -> _Row | None:
    """Read `line[start:end]` as a rank; offsets are in `line`."""
    inside_start, inside_end, label = start, end, None
    if left := _LEFT_LABEL.match(line, start, end):
        label, inside_start = int(left[1]), left.end()
    if right := _RIGHT_LABEL.search(line, inside_start, end):
        label, inside_end = label or int(right[1]), right.start()
    inside = line[inside_start:inside_end]
    framed = False
    if "|" in inside:
        first, last = inside.find("|"), inside.rfind("|")
        if inside[:first].strip() or inside[last + 1 :].strip() or first == last:
            return None
        inside_start, inside = inside_start + first + 1, inside[first + 1 : last]
        framed = True
    field = Span(inside_start, inside_start + len(inside))
    if "|" in inside:
        cells, place = [], inside_start
        for part in inside.split("|"):
            lead = len(part) - len(part.lstrip())
            sign = part.strip()
            cells.append(_Cell(sign.rstrip(_SELECTORS), Span(place + lead, place + lead + max(len(sign), 1))))
            place += len(part) + 1
        found = tuple(cells)
    elif (count := len(inside.split())) > 9 or (count > 1 and _NO_CELL.search(inside)):
        return None  # as most lines of prose, before anything is made of it
    else:
        found = _tokens(inside, inside_start)
        if len(found) == 1 and len(found[0].sign) > 2:
            found = _signs(found[0].sign, found[0].span.start)
    if any(len(cell.sign) > 2 and not cell.mark for cell in found):
        return None
    strange = sum(not cell.known for cell in found)
    by_column = len(found) < 7 and (framed or label is not None)
    if (by_column and not strange) or (7 <= len(found) <= 9 and strange <= (1 if len(found) == 8 else 0)):
        return _Row(Span(start, end), label, found, field, framed)
    return None


@lru_cache(maxsize=8192)  # a file's reader looks at its lines, `find_diagrams` again, an editor with each keystroke
def _classify(line: str) -> _Line | None:
    """Say what a line of a drawing could be; spans are offsets in the line."""
    stripped = line.strip()
    if not stripped or len(stripped) > 80 or (_WORD.search(stripped) and stripped.count(" ") > 4):
        return None
    start = line.index(stripped[0])
    end = start + len(stripped)
    line = line.translate(_BARS)
    for pattern, is_reversed in ((_FILES, False), (_FILES_REVERSED, True)):
        if pattern.fullmatch(stripped):
            columns = tuple(m.start() for m in re.finditer(r"[a-hA-H]", line))
            return _Files(Span(start, end), is_reversed, columns)
    row = _row(line, start, end)
    if row is not None:
        return row
    if len(stripped) >= 7 and _RULE.fullmatch(stripped):
        return _Rule(Span(start, end))
    return None


def _at(line: _Line, offset: int) -> _Line:
    """Move the spans of a line of a drawing from the line to the text."""

    def moved(span: Span) -> Span:
        return Span(span.start + offset, span.end + offset)

    if isinstance(line, _Row):
        cells = tuple(_Cell(cell.sign, moved(cell.span)) for cell in line.cells)
        return _Row(moved(line.span), line.label, cells, moved(line.field), line.framed)
    if isinstance(line, _Files):
        return _Files(moved(line.span), line.reversed, tuple(column + offset for column in line.columns))
    return _Rule(moved(line.span))


def find_boards(text: str) -> Iterator[Diagram]:
    """Yield every drawn board in `text` (masked text of a document) in order. Never raises for any text."""
    group: list[tuple[int, _Line]] = []
    for span in lines_of(text).spans:
        kind = _classify(span.of(text))
        if kind is not None:
            group.append((span.start, _at(kind, span.start)))
        elif group:
            yield from _boards(group, text)
            group = []
    yield from _boards(group, text)


def _boards(group: list[tuple[int, _Line]], text: str) -> Iterator[Diagram]:
    """Read the boards of consecutive lines, each line given with the offset where it starts."""
    if sum(isinstance(line, _Row) for _, line in group) < 6:
        return
    for part in _split(group):
        rows = [(start, line) for start, line in part if isinstance(line, _Row)]
        diagram = _board(_without_rules(rows), part, text)
        if diagram is not None:
            yield diagram


def _without_rules(rows: list[tuple[int, _Row]]) -> list[tuple[int, _Row]]:
    """Leave out lines such as "--------" that draw a frame and no rank, where that makes eight ranks."""
    if len(rows) == 10 and rows[0][1].may_be_rule and rows[-1][1].may_be_rule:
        return rows[1:-1]
    sure = [(start, row) for start, row in rows if not row.may_be_rule]
    return sure if len(rows) != 8 and len(sure) == 8 else rows


def _split(group: list[tuple[int, _Line]]) -> Iterator[list[tuple[int, _Line]]]:
    """Part boards that follow each other without a blank line."""
    rows = [line for _, line in group if isinstance(line, _Row)]
    if len(rows) < 14:
        yield group
        return
    part: list[tuple[int, _Line]] = []
    count = 0
    for item in group:
        if count == 8 and isinstance(item[1], _Row):
            yield part
            part, count = [], 0
        part.append(item)
        count += isinstance(item[1], _Row)
    yield part


def _columns(rows: Sequence[tuple[int, _Row]], files: _Files | None, files_start: int, text: str) -> list[int] | None:
    """Return where in each row its squares stand (from the field's start), or None if no spacing fits."""
    occupied = {
        column
        for _, row in rows
        for column, sign in enumerate(row.field.of(text))
        if not sign.isspace() and sign not in _SELECTORS
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


def _by_column(rows: Sequence[tuple[int, _Row]], columns: list[int], text: str) -> list[tuple[_Cell, ...]]:
    read = []
    for _, row in rows:
        field = row.field.of(text)
        cells = []
        for column in columns:
            sign = field[column].strip() if column < len(field) else ""
            place = row.field.start + column
            cells.append(_Cell(sign, Span(place, place + 1)))
        read.append(tuple(cells))
    return read


def _board(rows: Sequence[tuple[int, _Row]], part: list[tuple[int, _Line]], text: str) -> Diagram | None:
    files, files_start = next(((line, start) for start, line in part if isinstance(line, _Files)), (None, 0))
    ranks = [row.cells for _, row in rows]
    if any(len(cells) < 7 for cells in ranks):
        columns = _columns(rows, files, files_start, text)
        if columns is None:
            return None
        ranks = _by_column(rows, columns, text)
    men = [cell for cells in ranks for cell in cells if not cell.empty]
    full = sum(len(cells) == 8 for cells in ranks)
    if len(men) < 2 or full < 6 or not 7 <= len(rows) <= 9:
        return None
    if _draughts(ranks, men):
        return None
    colours = _colours(men)
    kings = {colours(cell) for cell in men if cell.letter.upper() == "K" or cell.sign in "♔♚"}
    drawn = any(row.framed or row.label for _, row in rows)
    if len(rows) != 8 and not (len(kings) == 2 or drawn):
        return None
    span = _extent(part)
    return _place(rows, ranks, files, span, _faults(rows, ranks, files, span))


def _draughts(ranks: Sequence[tuple[_Cell, ...]], men: Sequence[_Cell]) -> bool:
    """Tell a board of draughts: its men are of two or three kinds and stand on squares of one colour."""
    if len(men) < 4 or not {cell.letter.lower() for cell in men} <= _DRAUGHTSMEN:
        return False
    shades = {
        (rank + file) % 2 for rank, cells in enumerate(ranks) for file, cell in enumerate(cells) if not cell.empty
    }
    return len(shades) == 1


def _colours(men: Sequence[_Cell]) -> Callable[[_Cell], chess.Color]:
    """Return what tells the colour of a man: its mark where some have one and none is a small letter."""
    marks = {cell.mark for cell in men}
    if marks == {""} or any(cell.letter.islower() or cell.sign in FIGURINES for cell in men):
        return lambda cell: cell.colour
    black = "#" if marks == {"^", "#"} else next(iter(sorted(marks - {""})))
    return lambda cell: cell.mark != black


def _extent(part: list[tuple[int, _Line]]) -> Span:
    """Return the span of the drawing; a rule above it that none below answers underlines a heading."""
    lines = [line for _, line in part]
    if isinstance(lines[0], _Rule) and isinstance(lines[-1], _Row):
        lines = lines[1:]
    return lines[0].span.to(lines[-1].span)


def _rank_number(index: int, rows: Sequence[tuple[int, _Row]], black_below: bool) -> int:
    return rows[index][1].label or (index + 1 if black_below else 8 - index)


def _black_below(rows: Sequence[tuple[int, _Row]], files: _Files | None) -> bool:
    if all(row.label for _, row in rows):
        return (rows[0][1].label or 0) < (rows[-1][1].label or 0)
    return files is not None and files.reversed


def _faults(
    rows: Sequence[tuple[int, _Row]], ranks: Sequence[tuple[_Cell, ...]], files: _Files | None, span: Span
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
        elif files is not None and files.reversed != black_below:
            faults.append(TextFault(files.span, "the file letters and the rank numbers contradict each other"))
    for index, cells in enumerate(ranks):
        if len(cells) != 8:
            number = _rank_number(index, rows, black_below)
            faults.append(TextFault(rows[index][1].span, f"rank {number} of the board has {len(cells)} squares"))
    return faults


def _place(
    rows: Sequence[tuple[int, _Row]],
    ranks: Sequence[tuple[_Cell, ...]],
    files: _Files | None,
    span: Span,
    faults: list[TextFault],
) -> Diagram:
    colours = _colours([cell for cells in ranks for cell in cells if not cell.empty])
    men = [(cell.letter.upper(), colours(cell)) for cells in ranks for cell in cells if not cell.empty]
    letters = LANGUAGES[choose_language((man for man in men if man[0] not in FIGURINES), frozenset())]
    black_below = _black_below(rows, files)
    pieces: dict[chess.Square, chess.Piece] = {}
    piece_spans: dict[chess.Square, Span] = {}
    for index, cells in enumerate(ranks):
        for place, cell in enumerate(cells):
            if cell.empty:
                continue
            if cell.sign in FIGURINES:
                piece = FIGURINES[cell.sign]
            elif kind := letters.get(cell.letter.upper()):
                piece = chess.Piece(kind, colours(cell))
            else:
                faults.append(TextFault(cell.span, f"{cell.sign} names no man on this board"))
                continue
            if len(rows) == 8 and len(cells) == 8:
                file = 7 - place if black_below else place
                square = chess.square(file, _rank_number(index, rows, black_below) - 1)
                pieces[square] = piece
                piece_spans[square] = cell.span
    return Diagram(kind="board", span=span, pieces=pieces, piece_spans=piece_spans, faults=tuple(faults))
