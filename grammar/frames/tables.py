"""Tables that tell defences over their answers, and tables of phases: the moves of several first moves side by side.

"1...Kd5 | 1...Ke5" over "2.Qa2# | 2.Qb3#"; rows named "set", "1.Qa4?" and "1.Qb2!" under a head of defences; or a head
of such phases over rows that each begin with a defence. Each answer is put behind its defence, as a line tells it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from keyproof.grammar.lexicon.lexemes import Lexeme
from keyproof.grammar.spans import Span
from msgspec import Struct

from .cells import Cell, Lines, Row, answers, defends, holds_play, is_phase, mates, replied, tells_nothing
from .entries import by_entries

_RULES = ("cell", "dash", "colon", "line")  # what the line between the head of a table and its rows is made of
_GAP = 3  # blanks that part two columns
_FEWEST = 2  # defences that make a row of them
_MOST_ROWS = 60  # of one table
_LEADS = frozenset(("key", "try", "threat", "set", "refute", "refutes", "beats", "meets"))


class Retold(Struct, frozen=True):
    """A table in the order it is told in: line by line, the places of the cells, some of them more than once."""

    region: Span
    lines: tuple[tuple[Span, ...], ...]


def unrolled(given: Sequence[Lexeme]) -> list[Lexeme]:
    """Return the lexemes of a text with each answer of such a table behind its defence."""
    if not _may_hold_tables(given):
        return list(given)
    found: list[Lexeme] = []
    for rows, told in _tables(given):
        if told is None:
            found += rows[0]
            continue
        for line in told:
            found += [lexeme for cell in line for lexeme in cell]
            end = found[-1].span.end
            found += [Lexeme("stop", Span(end, end), ""), Lexeme("line", Span(end, end), "\n")]
    return found


def retold(blocks: Iterable[list[Lexeme]]) -> list[Retold]:
    """Return the tables of a text that are told in another order than they are printed in."""
    found: list[Retold] = []
    for block in joined(blocks):
        if not _may_hold_tables(block):
            continue
        for rows, told in _tables(block):
            if told is not None:
                region = rows[0][0].span.to(rows[-1][-1].span)
                lines = (tuple(cell[0].span.to(cell[-1].span) for cell in line if cell) for line in told)
                found.append(Retold(region, tuple(lines)))
    return found


def _may_hold_tables(given: Sequence[Lexeme]) -> bool:
    """Tell by a quick look whether any line has columns."""
    end = given[0].span.start if given else 0
    for each in given:
        if each.kind == "cell" or each.span.start - end >= _GAP:
            return True
        end = each.span.end
    return False


def _tables(given: Sequence[Lexeme]) -> Iterator[tuple[list[list[Lexeme]], Lines | None]]:
    """Yield the rows of a text one by one, or those of a table together with what it tells."""
    rows = _rows(given)
    cells = [_cells(row) for row in rows]
    place = 0
    while place < len(rows):
        below = [at for at in range(place + 1, min(len(rows), place + _MOST_ROWS)) if not _ruled(rows[at])]
        told, taken = _told([cells[place], *(cells[at] for at in below)]) if len(cells[place]) > 1 else ([], 0)
        last = below[taken - 1] if taken else place
        yield rows[place : last + 1], told if taken else None
        place = last + 1


def joined(blocks: Iterable[list[Lexeme]]) -> Iterator[list[Lexeme]]:
    """Yield the blocks of a text, the rows of such a table made one where each row is a block of its own."""
    held: list[list[Lexeme]] = []
    for block in blocks:
        single = len(block) > 1 and "line" not in [each.kind for each in block]
        if held and not (single and _told([_cells(each) for each in (*held, block)])[1] == len(held)):
            yield _as_one(held)
            held = []
        if single and not held and _may_hold_tables(block) and len(_cells(block)) > 1:
            held = [block]
        elif held:
            held.append(block)
        else:
            yield block
    if held:
        yield _as_one(held)


def _as_one(blocks: Sequence[list[Lexeme]]) -> list[Lexeme]:
    """Put rows together with a line end between them."""
    found = list(blocks[0])
    for block in blocks[1:]:
        end = found[-1].span.end
        found += [Lexeme("line", Span(end, end), "\n"), *block]
    return found


def _rows(given: Sequence[Lexeme]) -> list[list[Lexeme]]:
    """Part lexemes at the ends of lines, each of which stands at the end of its row."""
    rows: list[list[Lexeme]] = [[]]
    for lexeme in given:
        rows[-1].append(lexeme)
        if lexeme.kind == "line":
            rows.append([])
    return [row for row in rows if row]


def _ruled(row: Sequence[Lexeme]) -> bool:
    """Tell whether a row is a line drawn between others."""
    return len(row) > 1 and all(each.kind in _RULES for each in row)


def _cells(row: Sequence[Lexeme]) -> Row:
    """Part a row at its rules, or at wide gaps where it has none."""
    row = [each for each in row if each.kind != "line"]
    ruled = any(each.kind == "cell" for each in row)
    cells: Row = [[]]
    before: Lexeme | None = None
    for lexeme in row:
        wide = before is not None and lexeme.span.start - before.span.end >= _GAP
        if lexeme.kind == "cell" if ruled else wide:
            cells.append([])
        if lexeme.kind != "cell":
            cells[-1].append(lexeme)
        before = lexeme
    outer = ruled and row[0].kind == "cell" and row[-1].kind == "cell"
    return cells[1:-1] if outer else cells


def _told(rows: Sequence[Row]) -> tuple[Lines, int]:
    """Return what a table tells line by line, and how many rows stand below its head; nothing where it is none."""
    return _by_rows(rows) or _by_columns(rows) or _by_headings(rows) or by_entries(rows) or ([], 0)


# -- a head of defences


def _by_rows(rows: Sequence[Row]) -> tuple[Lines, int] | None:
    """Take a head of defences over rows of answers, which a phase may be named before."""
    lines: Lines = []
    taken = 0
    for below in rows[1:]:
        told = _answered(rows[0], below)
        if not told:
            break
        lines += told
        taken += 1
    return (lines, taken) if taken else None


def _answered(heads: Row, below: Row) -> Lines:
    """Return each defence with its answer, behind the name of the row; nothing where the rows are not such."""
    named = len(below) == len(heads) + 1
    if not named and len(heads) != len(below):
        return []
    if not named and heads and not defends(heads[0]) and not (answers(below[0]) and not is_phase(below[0])):
        heads, named = heads[1:], True  # what the rows are
    name, below = (below[0], below[1:]) if named else ([], below)
    if not all(heads) or not all(answers(each) or tells_nothing(each) for each in below):
        return []
    bare = not any(each.number is not None for head in heads for each in head)
    if bare and not (all(map(mates, filter(answers, below))) and not any(map(mates, heads))):
        return []
    defences = sum(defends(head) for head in heads)
    if defences < _FEWEST or not all(defends(head) or len(head) < _FEWEST for head in heads):
        return []
    pairs = zip(heads, below, strict=True)
    told = [[replied(head), answer] for head, answer in pairs if not tells_nothing(answer)]
    return [[name], *told] if is_phase(name) else told


# -- a head of phases


def _by_columns(rows: Sequence[Row]) -> tuple[Lines, int] | None:
    """Take a head of phases over rows that each begin with a defence: column by column."""
    heads = rows[0]
    if len(heads) > 1 and not is_phase(heads[0]):
        heads = heads[1:]  # what the first column is
    if len(heads) < _FEWEST or not all(map(is_phase, heads)):
        return None
    body: list[Row] = []
    for row in rows[1:]:
        if len(row) != len(heads) + 1 or not defends(row[0]):
            break
        if not all(answers(each) or tells_nothing(each) for each in row[1:]):
            break
        body.append(row)
    if not body:
        return None
    lines: Lines = []
    for column, head in enumerate(heads, 1):
        lines.append([head])
        lines += [[replied(row[0]), row[column]] for row in body if not tells_nothing(row[column])]
    return lines, len(body)


# -- a head that says what the columns are


def _by_headings(rows: Sequence[Row]) -> tuple[Lines, int] | None:
    """Take a head of words over rows of moves: "try | refutation" over "Rf4 | Rxc4"; each cell is told by its word.

    Cells of other words, "what it wants", tell no play.
    """
    heads = rows[0]
    if any(map(holds_play, heads)):
        return None
    leads = [_lead(head) for head in heads]
    if not any(leads):
        return None
    lines: Lines = []
    taken = 0
    for row in rows[1:]:
        if len(row) != len(heads) or not any(map(holds_play, row)):
            break
        line: list[Cell] = []
        for lead, cell in zip(leads, row, strict=True):
            if holds_play(cell):  # a remark between would cut the play in two
                line += [[lead], cell] if lead is not None else [cell]
        lines.append(line)
        taken += 1
    return (lines, taken) if taken else None


def _lead(head: Cell) -> Lexeme | None:
    """Return the word of a heading that leads to a move, None where none does."""
    return next((each for each in head if each.sense("mark") in _LEADS or each.sense("link") == "if"), None)
