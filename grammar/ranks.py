"""One line of a drawn board: a rank with its squares, the letters of the files, or a line of the frame.

What is drawn in other signs than blanks and bars is put into these first (ruled.py).
"""

import re

import chess
from msgspec import Struct
from msgspec.structs import replace

from .letters import FIGURINES, LANGUAGES
from .remembering import remembered
from .ruled import cells_parted, ruled
from .spans import Span

_EMPTY = frozenset(".-–—−+·•:*_#□■▢▫▪◻◼◽◾⬜⬛　")
_RULE = re.compile(r"[-+=_|:*─━═┌┐└┘├┤┬┴┼╔╗╚╝╠╣╦╩╬┏┓┗┛┣┫┳┻╋\s]*[-=_─━═][-+=_|:*─━═┌┐└┘├┤┬┴┼╔╗╚╝╠╣╦╩╬┏┓┗┛┣┫┳┻╋\s]*")
_FILES = re.compile(r"[\W_]*a[\W_]*b[\W_]*c[\W_]*d[\W_]*e[\W_]*f[\W_]*g[\W_]*h[\W_]*", re.IGNORECASE)
_FILES_REVERSED = re.compile(r"[\W_]*h[\W_]*g[\W_]*f[\W_]*e[\W_]*d[\W_]*c[\W_]*b[\W_]*a[\W_]*", re.IGNORECASE)
_LEFT_LABEL = re.compile(r"\s*([1-8])(?=[\s|]|$)")
_RIGHT_LABEL = re.compile(r"([1-8])(?<=[\s|].)\s*$")
_FILLERS = frozenset("xXoO0")
_SIDES = frozenset("wbsznWBSZN")  # the first letter of a side, in some language
_LETTERS = frozenset(letter for table in LANGUAGES.values() for letter in table if len(letter) == 1)
_WORD = re.compile(r"[^\W\d_]{4}")  # in a drawing only a rank without gaps has so many letters together
_REMARK = re.compile(
    r"(?<=\S)[ \t]{2,}(?=[^\w\s]*[ \t]?[^\W\d_]{2,}[^\w\s]*(?:\s|$))(?!(?:\S+[ \t]{2,})*\S{8}(?:\s|$))"
)
_WIDEST = 40  # signs of a rank that a remark stands behind
SELECTORS = "\ufe0e\ufe0f"  # text or emoji style of the sign before, not a square
_MARKS = "*^#'~_"
_MARKED = re.compile(rf"(?P<before>[{re.escape(_MARKS)}])?(?P<man>[^\W\d_])(?P<behind>[{re.escape(_MARKS)}])?")
_IN_BRACKETS = re.compile(r"\((?P<man>[^\W\d_])\)")
_TOKEN = re.compile(r"\([^\W\d_]\)|\S+?(?=\([^\W\d_]\)|\s|$)")  # "(K)(B)" are two squares
_NO_CELL = re.compile(
    rf"(?<![^\s{SELECTORS}])(?!(?:{_IN_BRACKETS.pattern.replace('?P<man>', '?:')})+(?!\S))[^\s{SELECTORS}]{{3}}"
)


class Cell(Struct, frozen=True):
    """A square as it is printed: its sign, "" for a blank, and where it stands."""

    sign: str
    span: Span

    @property
    def empty(self) -> bool:
        """Whether no man stands there."""
        return not self.sign or (self.sign[0] in _EMPTY and self.sign.count(self.sign[0]) == len(self.sign))

    @property
    def known(self) -> bool:
        """Whether the sign is an empty square or a man in some language."""
        return self.empty or self.filler or self.sign in FIGURINES or self.letter.upper() in _LETTERS or self.sided

    @property
    def filler(self) -> bool:
        """Whether the sign stands for an empty square where a board has no other sign for one."""
        return self.sign in _FILLERS

    @property
    def sided(self) -> bool:
        """Whether the letter of a man stands beside that of its side: "WK", "sT", "Kb"."""
        if len(self.sign) != 2:
            return False
        one, other = self.sign[0], self.sign[1]
        return (one in _SIDES and other.upper() in _LETTERS) or (other in _SIDES and one.upper() in _LETTERS)

    @property
    def letter(self) -> str:
        """The letter of the man, without what tells its colour."""
        if self.mark:
            return self.sign.strip("()" + _MARKS)
        return self.sign

    @property
    def mark(self) -> str:
        """The sign that tells a man's colour beside its letter, a bracket for both, "" for none."""
        if _IN_BRACKETS.fullmatch(self.sign):
            return "("
        marked = _MARKED.fullmatch(self.sign) if len(self.sign) == 2 else None
        return (marked["before"] or marked["behind"] or "") if marked else ""

    @property
    def colour(self) -> chess.Color:
        """The colour of the man, where small letters tell it."""
        return FIGURINES[self.sign].color if self.sign in FIGURINES else self.sign.isupper()


class Row(Struct, frozen=True):
    """A line that may be a rank. `field` is the place of the squares, for boards read by column."""

    span: Span
    label: int | None
    cells: tuple[Cell, ...]
    field: Span
    framed: bool

    @property
    def may_be_rule(self) -> bool:
        """Whether it may be a line of a frame too."""
        return self.label is None and all(cell.sign and set(cell.sign) <= set("-–—−_+") for cell in self.cells)


class Files(Struct, frozen=True):
    """The letters of the files, as printed above or below a board; `reversed` from h to a."""

    span: Span
    reversed: bool
    columns: tuple[int, ...]  # in the line, in the order printed


class Rule(Struct, frozen=True):
    """A line of a frame."""

    span: Span


Line = Row | Files | Rule


def _tokens(text: str, start: int) -> tuple[Cell, ...]:
    return tuple(Cell(m[0].rstrip(SELECTORS), Span(start + m.start(), start + m.end())) for m in _TOKEN.finditer(text))


def _signs(text: str, start: int) -> tuple[Cell, ...]:
    return tuple(Cell(sign, Span(place, place + 1)) for place, sign in enumerate(text, start) if sign not in SELECTORS)


def _labelled(label: int | None, cells: list[Cell]) -> tuple[int | None, tuple[Cell, ...]]:
    """Take the number of a rank out of the cells of a table, where it has one of its own."""
    if label is None and len(cells) in (9, 10):
        for place in (0, -1):
            number = cells[place].sign
            if len(number) == 1 and number in "12345678":
                label = label or int(number)
                del cells[place]
    return label, tuple(cells)


def _row(line: str, start: int, end: int) -> Row | None:
    """Read `line[start:end]` as a rank; offsets are in `line`."""
    inside_start, inside_end, label = start, end, None
    if left := _LEFT_LABEL.match(line, start, end):
        label, inside_start = int(left[1]), left.end()
    if right := _RIGHT_LABEL.search(line, inside_start, end):
        label, inside_end = label or int(right[1]), right.start()
    inside = line[inside_start:inside_end]
    framed = False
    if inside.count("|") == 1:  # one bar beside the number or before a quotation, none on the other side
        bar = inside.index("|")
        if not inside[:bar].strip():
            inside_start, inside = inside_start + bar + 1, inside[bar + 1 :]
        elif not inside[bar + 1 :].strip():
            inside_end, inside = inside_start + bar, inside[:bar]
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
            cells.append(Cell(sign.rstrip(SELECTORS), Span(place + lead, place + lead + max(len(sign), 1))))
            place += len(part) + 1
        label, found = _labelled(label, cells)
    elif (count := len(inside.split())) > 9 or (count > 1 and _NO_CELL.search(inside)):
        return None  # as most lines of prose, before anything is made of it
    else:
        found = _tokens(inside, inside_start)
        if len(found) == 1 and len(found[0].sign) > 2:
            found = _signs(found[0].sign, found[0].span.start)
    if any(len(cell.sign) > 2 and not cell.mark for cell in found):
        return None
    strange = sum(not cell.known for cell in found)
    by_column = len(found) < 7 and (framed or label is not None) and not any(cell.filler for cell in found)
    if (by_column and not strange) or (7 <= len(found) <= 9 and strange <= (1 if len(found) == 8 else 0)):
        return Row(Span(start, end), label, found, field, framed)
    return None


def _parted(line: str, start: int, end: int) -> Row | None:
    """Read a rank whose squares one sign parts, such as a comma; a square may be empty."""
    parted = cells_parted(line)
    if parted is None:
        return None
    number, signs = parted
    cells = tuple(Cell(sign.rstrip(SELECTORS), Span(at, at + max(len(sign), 1))) for at, sign in signs)
    if not all(cell.known for cell in cells):
        return None
    return Row(Span(start, end), int(number) if number else None, cells, Span(start, end), framed=False)


def _before_remark(line: str, start: int, end: int) -> Row | None:
    """Read a rank that a remark stands behind, parted from it by blanks: the remark is no part of it."""
    remark = _REMARK.search(line, start, end)
    if remark is None or remark.start() - start > _WIDEST:
        return None
    row = _row(line, start, remark.start())
    return row if row is not None and len(row.cells) == 8 and all(cell.known for cell in row.cells) else None


@remembered  # a file's reader looks at its lines, `find_diagrams` again, an editor with each keystroke
def classify(line: str) -> Line | None:
    """Say what a line of a drawing could be; spans are offsets in the line."""
    printed = line
    line = ruled(printed)
    stripped = line.strip()
    if not stripped:
        return _parted(line, 0, len(line)) if "\t" in line else None
    start = line.index(stripped[0])
    end = start + len(stripped)
    if len(stripped) > 80 or (_WORD.search(stripped) and stripped.count(" ") > 4):
        return _before_remark(line, start, end)
    for pattern, is_reversed in ((_FILES, False), (_FILES_REVERSED, True)):
        if pattern.fullmatch(stripped):
            columns = tuple(m.start() for m in re.finditer(r"[a-hA-H]", line))
            return Files(Span(start, end), is_reversed, columns)
    row = _parted(line, start, end) or _row(line, start, end) or _before_remark(line, start, end)
    if row is not None and row.span.end == end:
        drawn = printed.strip()
        return replace(row, span=Span(printed.find(drawn), printed.find(drawn) + len(drawn)))
    if row is not None:
        return row
    if len(stripped) >= 7 and _RULE.fullmatch(stripped):
        return Rule(Span(start, end))
    return None


def at(line: Line, offset: int) -> Line:
    """Move the spans of a line of a drawing from the line to the text."""

    def moved(span: Span) -> Span:
        return span.further_on(offset)

    if isinstance(line, Row):
        cells = tuple(Cell(cell.sign, moved(cell.span)) for cell in line.cells)
        return Row(moved(line.span), line.label, cells, moved(line.field), line.framed)
    if isinstance(line, Files):
        return Files(moved(line.span), line.reversed, tuple(column + offset for column in line.columns))
    return Rule(moved(line.span))
