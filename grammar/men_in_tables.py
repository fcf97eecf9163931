"""Tables of the men: a row for each kind and a column for each side, or a column for each kind and a row for each side.

    | Piece | White  | Black |          Side;King;Queen;Pawns
    |-------|--------|-------|          White;g1;d1;a2, b2
    | King  | g1     | g8    |          Black;g8;;a7
    | Pawns | a2, b2 | a7    |

Bars, tabs, semicolons, commas or two blanks part the cells.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import islice

from .document import TextFault
from .in_lines import LinesThat
from .letters import FIGURINES, LANGUAGES
from .men_in_columns import Columns
from .roster import COLOURS, NAMES, Entry, Roster
from .spans import Span, lines_of

_RULE = re.compile(r"[ \t|:+=_-]*")
_PARTS = (r"[^|]*", r"[^\t]*", r"[^;]*", r"[^,]*", r"\S+(?:[ \t]\S+)*")  # cells by what parts them
_SIGNS = ("|", "\t", ";", ",", "")
_PARTED = re.compile(r"([|\t;,])[^\n]*\1|\S(?:[ \t]{2,}|[^\S \t])\s*\S")  # in several cells
_NONE = re.compile(r"[\s–—.·/-]*|none|nil|keine?r?|aucune?|ninguno|nessuno|geen", re.I)
_SQUARES = re.compile(r"\s*[a-h][1-8](?:(?:[\s,;+&/]|\band\b|\bund\b|\bet\b|\by\b|\be\b|\ben\b)+[a-h][1-8])*\s*")
_SQUARE = re.compile(r"[a-h][1-8]")
_FEWEST_KINDS = 2
_LETTERS = {letter for table in LANGUAGES.values() for letter in table} | set(FIGURINES)
_Cells = list[Span]


def find_men_in_tables(text: str, masked: str) -> Iterator[Columns]:
    """Yield every table of men in `text`, of which `masked` shows what is no markup. Never raises."""
    spans = lines_of(text).spans
    after = 0
    for number in _HEADS.numbers(text):
        for sign, part in zip(_SIGNS, _PARTS, strict=True) if number >= after else ():
            head = _cells(text, spans[number], sign, part)
            found = _table(text, head, _rows(text, islice(spans, number + 1, None), sign, part)) if head else None
            if found is not None and _shown(found[0], text, masked):
                yield found[0]
                after = number + found[1] + 1
                break


def _may_be_head(line: str) -> bool:
    line = line.rstrip("\r\n")
    if _PARTED.search(line) is None:
        return False
    heads = (_cells(line, Span(0, len(line)), sign, part) for sign, part in zip(_SIGNS, _PARTS, strict=True))
    return any(_sides(line, head) or _kinds(line, head) for head in heads if head)


_HEADS = LinesThat(_may_be_head)


def _shown(columns: Columns, text: str, masked: str) -> bool:
    entries = [entry for _, _, men in columns.sides for entry in men.entries]
    return all(entry.square_span.of(masked) == entry.square_span.of(text) for entry in entries)


def _cells(text: str, line: Span, sign: str, part: str) -> _Cells:
    """Return the cells of a line, none where it has too few. Blanks leave out a cell that is empty."""
    words = line.of(text)
    if sign and words.count(sign) < 2:
        return []
    found: _Cells = []
    place, end = 0, len(words.rstrip(" \r"))
    if sign == "|" and words.lstrip().startswith(sign):
        place = words.index(sign) + 1
    while place < end + bool(sign and sign != "|"):
        cell = re.compile(part).search(words, place)
        if cell is None:
            break
        found.append(Span(line.start + cell.start(), line.start + cell.end()))
        place = cell.end() + len(sign)
    return found if len(found) > (2 if sign else 1) else []


def _rows(text: str, lines: Iterable[Span], sign: str, part: str) -> Iterator[_Cells]:
    """Yield the rows below a head, none for a line that rules it off."""
    for line in lines:
        if not line.of(text).strip():
            return
        yield [] if _RULE.fullmatch(line.of(text)) else (_cells(text, line, sign, part) or [line])


def _word(text: str, cell: Span) -> str:
    return cell.of(text).strip(" \t*_`:.'\"()")


def _is_man(word: str) -> bool:
    return word.lower() in NAMES or word in _LETTERS


def _table(text: str, head: _Cells, rows: Iterator[_Cells]) -> tuple[Columns, int] | None:
    """Read a table from its head on; return it with the number of its rows."""
    if sides := _sides(text, head):
        return _by_kinds(text, head, sides, rows)
    if men := _kinds(text, head):
        return _by_sides(text, head, men, rows)
    return None


def _sides(text: str, head: _Cells) -> dict[int, str]:
    """Return the columns of both sides where a head names them, else none."""
    words = [_word(text, cell).lower() for cell in head]
    sides = {place: word for place, word in enumerate(words) if word in COLOURS}
    both = len(sides) == 2 and len({COLOURS[side] for side in sides.values()}) == 2
    over_kinds = len(head) == 2 or 0 not in sides  # where nothing need stand
    return sides if both and over_kinds and len(head) <= 4 else {}


def _kinds(text: str, head: _Cells) -> dict[int, str]:
    """Return the columns of the kinds of men where a head names nothing else, else none."""
    men = {place: word for place, cell in enumerate(head) if _is_man(word := _word(text, cell)) and place}
    return men if len(men) >= _FEWEST_KINDS and len(men) == len(head) - 1 else {}


def _under(head: _Cells, place: int, row: _Cells, text: str) -> Span | None:
    """Return the cell of a row that stands under that of the head, by its number, or by where it begins."""
    if len(row) == len(head) > 2:
        return row[place]
    if text[head[0].start : head[-1].end].count("  ") == 0 or "|" in text[row[0].start : row[-1].end]:
        return row[place] if place < len(row) else None

    def column(cell: Span) -> int:
        return cell.start - (text.rfind("\n", 0, cell.start) + 1)

    nearest = [min(range(len(head)), key=lambda each: abs(column(head[each]) - column(cell))) for cell in row[1:]]
    return next((cell for each, cell in zip(nearest, row[1:], strict=True) if each == place), None)


def _by_kinds(text: str, head: _Cells, sides: dict[int, str], rows: Iterator[_Cells]) -> tuple[Columns, int] | None:
    men = {side: Roster(head[-1].end) for side in sides.values()}
    count = 0
    for number, row in enumerate(rows, start=1):
        if row and not _is_man(name := _word(text, row[0])):
            if count and len(row) > 2:
                men[sides[max(sides)]].faults.append(TextFault(row[0], f"{name} names no man in this table"))
                continue
            break
        for place, side in sides.items() if row else ():
            if (cell := _under(head, place, row, text)) is not None:
                _take(text, name, cell, men[side])
        count = number
        for each in men.values():
            each.end = max(each.end, row[-1].end if row else 0)
    return _columns(head, list(men.items()), count)


def _by_sides(text: str, head: _Cells, kinds: dict[int, str], rows: Iterator[_Cells]) -> tuple[Columns, int] | None:
    men: dict[str, Roster] = {}
    count = 0
    for number, row in enumerate(rows, start=1):
        if row:
            side = _word(text, row[0]).lower()
            if side not in COLOURS or side in men or len(men) == 2:
                break
            men[side] = Roster(row[-1].end)
            for place, name in kinds.items():
                if (cell := _under(head, place, row, text)) is not None:
                    _take(text, name, cell, men[side])
        count = number
    if len({COLOURS[side] for side in men}) != 2:
        return None
    end = max(each.end for each in men.values())
    for each in men.values():
        each.end = end
    return _columns(head, list(men.items()), count)


def _columns(head: _Cells, men: Sequence[tuple[str, Roster]], count: int) -> tuple[Columns, int] | None:
    """Return the table where it has men enough to be one."""
    if not all(each.entries for _, each in men) or sum(each.size for _, each in men) < len(men) + 1:
        return None
    return Columns(tuple((side, head[0].start, each) for side, each in men)), count


def _take(text: str, name: str, cell: Span, men: Roster) -> None:
    """Put the men of one cell on their squares; what else stands in it is a fault."""
    words = cell.of(text)
    if _SQUARES.fullmatch(words):
        for square in _SQUARE.finditer(words):
            span = Span(cell.start + square.start(), cell.start + square.end())
            men.entries.append(Entry(name, square[0], span, span))
    elif not _NONE.fullmatch(words.strip(" \"'*_`")):
        start = cell.start + len(words) - len(words.lstrip())
        span = Span(start, start + len(words.strip()))
        men.faults.append(TextFault(span, f"{words.strip()} names no squares in this table of men"))
