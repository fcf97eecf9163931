"""Positions told row by row, men and empty squares counted: "top row: four empty, the white queen, three empty".

A Forsyth string that is read aloud is the same: "four, small n, small k, one, capital B, slash". What is told so proves
itself: eight rows of eight squares each, with one king on either side. So other words may stand between, and of what
may be a part of a row or a remark, such as a number, the reading is taken that fills the rows.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cache
from operator import attrgetter
from pathlib import Path
from typing import Literal

import chess
from msgspec import Struct
from msgspec.structs import replace

from .document import Diagram
from .forsyth import STANDARD
from .kept import made_of
from .lexicon.table import Table, table_of
from .lexicon.tongues import TONGUES, sources, told_in
from .roster import COLOURS, NAMES
from .spans import Span

Does = Literal["number", "man", "side", "empty", "rest", "small", "capital", "ends", "row", "rank", "letter", "sided"]

_WORD = re.compile(r"[^\W\d_]+(?:['’][^\W\d_]+)?|(?<![\d.])\d(?!\w)")
_KINDS = {name: kind for kind, name in enumerate(chess.PIECE_NAMES) if name}
_SIDED = re.compile(r"[wWbB][KQRBNP]")
_SIDED_BY = frozenset(("side", "small", "capital"))
_LISTED = re.compile(r"\s*,?\s*(?:and|und|et|y|e|en)?\s+")
_CUES = ("left empty", "row ends", "letter small", "letter capital")
_APART: dict[str, Does] = {
    "left empty": "empty", "rest of row": "rest", "letter small": "small", "letter capital": "capital",
    "row ends": "ends", "rank before its number": "row", "top row": "rank", "bottom row": "rank",
}  # fmt: skip
_WHITE = 8
_FULL = 8
_SQUARES = 64
_FEWEST = 6  # words for empty squares, letters' sizes and ends of rows in a text, without which none is looked at
_MOST = 400  # words of one telling
_BEAM = 24
_MOST_COST = 5  # of what is passed by
_PASSED: dict[str, int] = {"man": 3, "sided": 3, "ends": 3, "row": 2, "rank": 2, "empty": 2, "rest": 1, "number": 1}
_BARE = 2  # a number alone, where others count "empty" squares
_ALONE = 1  # a man of whom no side is told
_MISNUMBERED = 2  # a row that cannot have the number it is given
_COUNT_PASSED = 3  # the number of empty squares
_TOP, _BOTTOM = 8, 1
_SURE = 10  # "top" and "bottom" against the numbers of rows, which may be counted from the top


class _Word(Struct, frozen=True):
    does: Does
    span: Span
    value: int = 0
    passed: int | None = None  # what it costs to pass it by, None: it cannot be


class _Way(Struct, frozen=True):
    """One way to take the words so far: how many squares are told, and the men on them."""

    told: int = 0
    men: tuple[tuple[int, int, Span], ...] = ()  # the number of the square, the man (White's with 8 more), his word
    cost: int = 0
    number: int = 0  # waits for what it counts
    rows: int = 0  # so many rows are told at once
    worded: bool = False  # empty squares are told in so many words
    side: int | None = None
    size: int | None = None  # of the letter that follows: 1 for a capital
    down: int = 0  # what speaks for rows that are told from the top, less what speaks against it

    @property
    def begins(self) -> bool:
        return self.told % _FULL == 0


def find_rows_aloud(text: str) -> Iterator[Diagram]:
    """Yield every position of `text` that is told row by row, in order. Never raises for any text."""
    if sum(1 for _ in _cues().finditer(text)) < _FEWEST:
        return
    words = _words(text, table_of(told_in(text, [Span(0, len(text))])[0]))
    found = [told for place in range(len(words)) if (told := _told(words[place : place + _MOST])) is not None]
    taken: list[Diagram] = []
    for _, diagram in sorted(found, key=lambda told: told[0]):
        if not any(diagram.span.overlaps(other.span) for other in taken):
            taken.append(diagram)
    yield from sorted(taken, key=lambda diagram: diagram.span)


@cache
def _cues() -> re.Pattern[str]:
    forms = made_of(Path(__file__), sources(), _cues_of_all)
    return re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, sorted(forms, key=len, reverse=True)))})(?!\w)", re.I)


def _cues_of_all() -> list[str]:
    """Return the cues of all languages; kept, since hardly a text needs more than one table."""
    return sorted({form for tongue in TONGUES for cue in _CUES for form in table_of(tongue).apart.get(cue, ())})


# -- the words


def _words(text: str, table: Table) -> list[_Word]:
    """Return the words of which rows are made, each with what it costs to pass it by."""
    found: list[_Word] = []
    for printed in _WORD.finditer(text):
        word = _word(printed[0], Span(*printed.span()), table)
        if word is None:
            continue
        before = found[-1] if found else _Word("ends", Span(0, 0))
        if before.does == "rest" and word.does in ("empty", "rest"):
            continue  # "rest empty", "sonst nichts"
        if before.does == "rank" and printed[0] == "one" and _close(text, before, word):
            continue  # "the bottom one"
        if before.does == "row" and word.does == "number" and _close(text, before, word):
            word = _Word("rank", word.span, word.value)
        if (
            word.does == "number"
            and _LISTED.fullmatch(text, before.span.end, word.span.start)
            and (rows := _rows_listed(found, word))
        ):
            found[-1 if len(rows) > 2 else -2 :] = rows  # "ranks four, five and six"
            continue
        if before.does == "number" and word.does == "empty":
            found[-1] = replace(before, passed=_COUNT_PASSED)
        if word.does == "side" and before.passed == _ALONE and before.does == "man" and _close(text, before, word):
            found[-1:] = [word, replace(before, passed=_PASSED["man"])]  # "caballo blanco"
            continue
        alone = word.does == "man" and before.does not in _SIDED_BY
        found.append(replace(word, passed=_ALONE if alone else _PASSED.get(word.does)))
    return found


def _rows_listed(found: Sequence[_Word], word: _Word) -> list[_Word]:
    """Return what tells so many rows at once, where a number follows that lists one more; else nothing."""
    row = _Word("row", word.span, passed=_PASSED["row"])
    match [*found[-3:]]:
        case [*_, _Word(does="rank") as one]:
            return [one, _Word("number", one.span, 2), row]
        case [_Word(does="rank") as one, _Word(does="number") as counted, _Word(does="row")] if (
            one.span == counted.span
        ):
            return [replace(counted, value=counted.value + 1), row]
    return []


def _close(text: str, before: _Word, word: _Word) -> bool:
    return text[before.span.end : word.span.start].isspace()


def _word(printed: str, span: Span, table: Table) -> _Word | None:
    if _SIDED.fullmatch(printed):
        return _Word("sided", span, STANDARD[printed[1]] + _WHITE * (printed[0] in "wW"))
    if printed.isdecimal():
        return _Word("number", span, int(printed))
    if len(printed) == 1:
        kind = STANDARD.get(printed.upper())
        return None if kind is None else _Word("letter", span, kind + _WHITE * printed.isupper())
    word = printed.lower().replace("’", "'")
    for category, does in _APART.items():
        if word in table.apart.get(category, ()):
            return _Word(does, span, _TOP if category == "top row" else _BOTTOM)
    senses = {each.category: each.sense for each in table.meanings_of(word) if not each.misheard}
    if "rank" in senses:
        return _Word("rank", span, int(senses["rank"]))
    if (senses.get("count") or "0") != "0":
        return _Word("number", span, int(senses["count"]))
    if "side" in senses or word in COLOURS:
        return _Word("side", span, int(senses["side"] == "white" if "side" in senses else COLOURS[word]))
    kind = _KINDS.get(senses.get("man", ""), NAMES.get(word))
    return None if kind is None else _Word("man", span, kind)


# -- the ways to take them


def _told(words: Sequence[_Word]) -> tuple[int, Diagram] | None:
    """Return the position that is told from the first word on, behind what it costs to take the words so."""
    beam = [_Way()]
    if not any(way.told or way.size is not None or way.number for way in _taken(beam[0], words[0])) and (
        words[0].does not in ("row", "rank", "side")
    ):
        return None
    best: tuple[_Way, int] | None = None
    for used, word in enumerate(words, start=1):
        beam = _cheapest(after for way in beam for after in _taken(way, word))
        whole = [way for way in beam if way.told == _SQUARES and _kings(way)]
        if whole and (best is None or whole[0].cost < best[0].cost):
            if len({_placed(way) for way in whole if way.cost == whole[0].cost}) > 1:
                return None
            best = whole[0], used
        beam = [way for way in beam if way.told < _SQUARES and (best is None or way.cost < best[0].cost)]
        if not beam:
            break
    if best is None:
        return None
    way, used = best
    return way.cost, _diagram(way, words[0].span.to(words[used - 1].span))


def _cheapest(ways: Iterable[_Way]) -> list[_Way]:
    best: dict[_Way, _Way] = {}
    for way in ways:
        future = replace(way, cost=0)
        if way.cost <= _MOST_COST and way.told <= _SQUARES and (future not in best or way.cost < best[future].cost):
            best[future] = way
    return sorted(best.values(), key=attrgetter("cost"))[:_BEAM]


def _taken(way: _Way, word: _Word) -> Iterator[_Way]:
    """Yield the ways to take one word more."""
    if way.rows and word.does not in ("empty", "rest"):
        way = replace(way, cost=way.cost + _PASSED["row"], rows=0)
    yield from _TAKES[word.does](way, word)
    if word.passed is not None and (way.told or way.cost):
        yield replace(way, cost=way.cost + word.passed)


def _settled(way: _Way) -> Iterator[_Way]:
    """Yield what the number before may have been: of empty squares, or of nothing."""
    if not way.number:
        yield way
        return
    yield replace(way, cost=way.cost + _PASSED["number"], number=0)
    if (after := _empties(way, way.number)) is not None:
        yield replace(after, cost=after.cost + _BARE * way.worded)


def _empties(way: _Way, number: int) -> _Way | None:
    """Return a way with so many empty squares more, all of one row."""
    if way.told % _FULL + number > _FULL:
        return None
    return replace(way, told=way.told + number, number=0)


def _number(way: _Way, word: _Word) -> Iterator[_Way]:
    yield from (replace(each, number=word.value) for each in _settled(way) if word.value <= _FULL)


def _side(way: _Way, word: _Word) -> Iterator[_Way]:
    yield replace(way, side=word.value, size=None)
    yield from (replace(each, side=word.value, size=None) for each in _settled(way) if way.number)


def _size(way: _Way, word: _Word) -> Iterator[_Way]:
    yield from (replace(each, size=int(word.does == "capital")) for each in _settled(way))


def _man(way: _Way, word: _Word) -> Iterator[_Way]:
    side = way.side if way.size is None else way.size
    if side is None:
        return
    for each in _settled(way):
        yield from _men(each, word, word.value + _WHITE * side, 1)
    if way.number:
        yield from _men(way, word, word.value + _WHITE * side, way.number)


def _men(way: _Way, word: _Word, man: int, number: int) -> Iterator[_Way]:
    """Yield a way with men on the next squares of its row."""
    if way.told % _FULL + number <= _FULL:
        men = tuple((way.told + each, man, word.span) for each in range(number))
        yield replace(way, told=way.told + number, men=way.men + men, number=0, size=None)


def _letter(way: _Way, word: _Word) -> Iterator[_Way]:
    if way.size is None:
        yield replace(way, cost=way.cost)  # "a pawn b"
        return
    for each in _settled(way):
        yield from _men(each, word, word.value % _WHITE + _WHITE * way.size, 1)


def _sided(way: _Way, word: _Word) -> Iterator[_Way]:
    for each in _settled(way):
        yield from _men(each, word, word.value, 1)
    if way.number:
        yield from _men(way, word, word.value, way.number)


def _empty(way: _Way, word: _Word) -> Iterator[_Way]:
    if way.rows:
        yield replace(way, told=way.told + _FULL * way.rows, rows=0, number=0)
    number = way.number or 1
    if (after := _empties(way, number)) is not None:
        yield replace(after, worded=True)
    if not way.number:
        yield from _rest(way, word)


def _rest(way: _Way, word: _Word) -> Iterator[_Way]:
    del word
    if way.rows:
        yield replace(way, told=way.told + _FULL * way.rows, rows=0, number=0)
    for each in _settled(way):
        yield replace(each, told=each.told + _FULL - each.told % _FULL)


def _ends(way: _Way, word: _Word) -> Iterator[_Way]:
    del word
    yield from (replace(each, size=None) for each in _settled(way) if each.begins and each.told)


def _row(way: _Way, word: _Word) -> Iterator[_Way]:
    """Yield the ways to take "row": one begins, or so many are told at once."""
    del word
    if way.number and way.begins:
        yield replace(way, rows=way.number, number=0)
    yield from (replace(each, side=None) for each in _settled(way) if each.begins)


def _rank(way: _Way, word: _Word) -> Iterator[_Way]:
    """Yield the ways in which a row begins that has a number or a place of its own."""
    for each in _settled(way):
        if each.begins and each.told < _SQUARES:
            yield _numbered(each, word.value)


def _numbered(way: _Way, label: int) -> _Way:
    row = way.told // _FULL
    sure = _SURE if (label in (_TOP, _BOTTOM) and row in (0, 7)) else 1
    down = sure * ((label == _FULL - row) - (label == row + 1))
    strange = label not in (_FULL - row, row + 1)
    return replace(way, down=way.down + down, cost=way.cost + _MISNUMBERED * strange)


_TAKES: dict[Does, Callable[[_Way, _Word], Iterator[_Way]]] = {
    "number": _number, "man": _man, "side": _side, "empty": _empty, "rest": _rest, "small": _size, "capital": _size,
    "ends": _ends, "row": _row, "rank": _rank, "letter": _letter, "sided": _sided,
}  # fmt: skip


# -- the position


def _kings(way: _Way) -> bool:
    return sorted(man for _, man, _ in way.men if man % _WHITE == chess.KING) == [chess.KING, chess.KING + _WHITE]


def _placed(way: _Way) -> tuple[tuple[int, int], ...]:
    return tuple((square, man) for square, man, _ in way.men)


def _diagram(way: _Way, span: Span) -> Diagram:
    turned = 56 if way.down >= 0 else 0  # from the eighth row down, or from the first up
    pieces = {square ^ turned: chess.Piece(man % _WHITE, man > _WHITE) for square, man, _ in way.men}
    spans = {square ^ turned: span for square, _, span in way.men}
    return Diagram(kind="list", span=span, pieces=pieces, piece_spans=spans, told=True)
