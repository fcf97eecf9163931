"""Solutions in two columns, White's moves on the left, Black's on the right.

Both columns print the same numbers, so a "1." on the right is Black's "1...". The headings
over them show that a solution is set so, and where the columns part; without headings, the
same number printed twice on a line shows it, with a gap between.
"""

import re
from collections.abc import Callable, Iterable

from .spans import Span

_ROW = re.compile(
    r"^[ \t|]*(?:[^\W\d]+[ \t]+)?(?P<number>\d{1,2}\.)(?!\.)[^\n]*\S[ \t|]{3,}(?=(?P=number)(?!\.)\s?\S)", re.M
)
_HEADINGS = re.compile(r"\b(white)\b[.:]?[ \t|]{2,}(black)\b[.:]?[ \t|]*$", re.I | re.M)

_LONE_NUMBER = re.compile(r"\d{1,2}\.[ \t]{3,}(?=\S)")
_MOVED = re.compile(r"\S*[a-h][1-8]\S*")
_GAP = 3  # blanks that part the columns of a row


def black_columns(text: str, prose: Iterable[Span]) -> Callable[[int], bool] | None:
    """Return the test whether an offset in `text` stands in a column of Black's moves, None where there is no column.

    `prose` are the blocks of one puzzle in order; headings hold until the next ones. Headings are often
    centred, so the columns part halfway between them.
    """
    parted: list[tuple[int, float]] = []  # from which offset on, and at which column of the page
    rows: set[int] = set()  # where the right half of a row begins that prints its number twice
    for span in prose:
        line = text.rfind("\n", 0, span.start) + 1
        rows.update(row.end() for row in _ROW.finditer(text, line, span.end) if _parts_sides(text, row))
        for heading in _HEADINGS.finditer(text, *span):
            white, black = _column(text, heading.start(1)), _column(text, heading.start(2))
            parted.append((heading.end(), (white + black) / 2))
    if not (parted or rows):
        return None

    def in_black(offset: int) -> bool:
        if offset in rows:
            return True
        middles = [middle for after, middle in parted if after <= offset]
        if not middles:
            return False
        if (left := _LONE_NUMBER.match(text, offset)) is not None:
            offset = left.end()  # "2.            K to Q 4": the number stands on the left, its move on the right
        return _column(text, offset) > middles[-1] and not text[:offset][-_GAP:].strip()

    return in_black


def _parts_sides(text: str, row: re.Match[str]) -> bool:
    """Tell whether a row holds a move of each side, not several tries: "1.Qe4?   1.Qf4?  1.Qg4?   Kd6!"."""
    end = text.find("\n", row.end())
    line = text[row.start() : end if end >= 0 else len(text)]
    alone = len(_MOVED.findall(row[0])) < 2 and "?" not in row[0]
    return alone and len(re.findall(rf"(?<!\d){re.escape(row['number'])}(?!\.)", line)) == 2


def _column(text: str, offset: int) -> int:
    return offset - text.rfind("\n", 0, offset) - 1
