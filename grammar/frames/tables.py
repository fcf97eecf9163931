"""Tables that tell a defence over its answer: a row of defences, and under each of them what mates."""

from __future__ import annotations

from collections.abc import Sequence

from keyproof.grammar.lexicon.lexemes import Lexeme

_RULES = ("cell", "dash", "colon", "line")  # what the line between the head of a table and its rows is made of
_GAP = 3  # blanks that part two columns
_FEWEST = 2  # defences that make a row of them


def unrolled(given: Sequence[Lexeme]) -> list[Lexeme]:
    """Return the lexemes of a text with each answer of such a table behind its defence."""
    rows = _rows(given)
    found: list[Lexeme] = []
    place = 0
    while place < len(rows):
        below = place + 1
        while below < len(rows) and all(each.kind in _RULES for each in rows[below]):
            below += 1
        pairs = _pairs(_cells(rows[place]), _cells(rows[below])) if below < len(rows) else []
        if pairs:
            end = [each for each in rows[below][-1:] if each.kind == "line"]
            for defence, answer in pairs:
                found += [*defence, *answer, *end]
            place = below + 1
        else:
            found += rows[place]
            place += 1
    return found


def _rows(given: Sequence[Lexeme]) -> list[list[Lexeme]]:
    """Part lexemes at the ends of lines, each of which stands at the end of its row."""
    rows: list[list[Lexeme]] = [[]]
    for lexeme in given:
        rows[-1].append(lexeme)
        if lexeme.kind == "line":
            rows.append([])
    return [row for row in rows if row]


def _cells(row: Sequence[Lexeme]) -> list[list[Lexeme]]:
    """Part a row at its rules, or at wide gaps where it has none."""
    row = [each for each in row if each.kind != "line"]
    ruled = any(each.kind == "cell" for each in row)
    cells: list[list[Lexeme]] = [[]]
    before: Lexeme | None = None
    for lexeme in row:
        wide = before is not None and lexeme.span.start - before.span.end >= _GAP
        if lexeme.kind == "cell" if ruled else wide:
            cells.append([])
        if lexeme.kind != "cell":
            cells[-1].append(lexeme)
        before = lexeme
    return cells[1:-1] if ruled and not cells[0] and not cells[-1] else cells


def _pairs(heads: list[list[Lexeme]], below: list[list[Lexeme]]) -> list[tuple[list[Lexeme], list[Lexeme]]]:
    """Return defences and answers, none where the rows are not such."""
    if len(heads) != len(below) or not (all(heads) and all(below)):
        return []
    pairs = list(zip(heads, below, strict=True))
    if not _defends(heads[0]) and not _answers(below[0]):
        pairs = pairs[1:]  # what the rows are
    defences = sum(_defends(head) for head, _ in pairs)
    bare = all(_defends(head) or len(head) < _FEWEST for head, _ in pairs)  # "else"
    return pairs if defences >= _FEWEST and bare and all(_answers(answer) for _, answer in pairs) else []


def _defends(cell: Sequence[Lexeme]) -> bool:
    number = cell[0].number
    return number is not None and number.second and len(cell) > 1 and cell[1].kind in ("move", "square")


def _answers(cell: Sequence[Lexeme]) -> bool:
    number = cell[0].number
    if number is not None:
        return not number.second and len(cell) > 1 and cell[1].kind in ("move", "square")
    return cell[0].kind in ("move", "square")
