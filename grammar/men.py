"""Piece lists in the trade's style: "White: Kg1, Qd1, Pa2 b2; Black: Kg8, Rf8".

The letters may be those of any language in `letters.py`, figurines or whole words;
which language it is follows from the letters, the kings and the headings. Pawns may
stand without a letter. A list names both sides: one side alone looks too much like a
line of play. Without the names of the sides a list is one where each side begins with
its king and they are set against each other: "Kg1 Qd1 (2) - Kg8 (1)", "Kg1 Qd1 v Kg8", or the second is named.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from functools import cache, partial
from typing import NamedTuple

import chess
from msgspec import Struct, field
from msgspec.structs import replace

from .coloured_men import find_coloured_men
from .document import Diagram, Document, MenCount, TextFault
from .in_lines import InLines
from .letters import FIGURINES, LANGUAGES, SIDES
from .men_in_columns import Columns, find_men_in_columns
from .men_in_tables import find_men_in_tables
from .men_named import as_white_counts, choose_language, kind_of, letter_of
from .roster import COLOURS, HEADINGS, NAMES, PAWNS, Entry, Roster, heading, left_over, roster
from .spans import Span
from .words import number_said

_COUNT = r"\(\s*(?P<count>\d{1,2})(?:\s+\w{1,10})?\s*\)"
_FARTHEST = 1_000  # characters before a bracket in which a solution's line of play is looked for
_COUNT_BEHIND = re.compile(r"[ \t]*" + _COUNT)
_REMARK = re.compile(r"\s{1,4}\([^\W\d][^()\d\r\n]{2,60}\)")
_BOTH_COUNTS = re.compile(r"\s*[(\[]?\s*(\d{1,2})\s*\+\s*(\d{1,2})(?!\w)")
_LABEL = " \t*_|#.):0123456789"  # what may stand before a list on its line
_ON_BOARD = re.compile(r"[a-h][1-8]")
_FEWEST = 5  # men of two lists that nothing but their line calls a position
_BETWEEN = re.compile(
    r"(?:[\s,;.|/•*\[(–—-]|(?:pieces|men)\s*\(|\b(?:and|but|while|against|versus|vs|v|und|gegen|contre|en|et|y|e)\b"
    r"|\b(?:the|les|la[su]?|los|[ao]s|il|die)\b)*",
    re.I,
)

_AGAINST = re.compile(r"\s*(?:(?P<word>(?:v|vs|versus|against|gegen|contre)\b\.?)|[-–—/:+])\s*", re.I)
# All squares of a list in descriptive notation may be named as White counts them, if the author says so.
_FROM_WHITE = re.compile(
    r"\b(?:squares?|ranks?|lists?|men|places?|positions?)\b[^.!?]{0,60}?\b(?:reckon|count|nam|number|giv|read|seen|told)\w*"
    r"\s(?:[^.!?]{0,30}?\s)?(?:from|on)\s+white\b",
    re.I,
)


@cache
def _played() -> re.Pattern[str]:
    """Return the pattern of a move number with its move, as solutions print it."""
    return re.compile(r"\d\s*(?:\.{1,3}|…)\s*(?:[^\W\d_]{0,2}[a-h]?[1-8]?[x:]?[a-h][1-8]|[0O]-[0O])")


class _Side(Struct):
    colour: chess.Color
    languages: Set[str]
    start: int
    marked: bool  # a colon or full stop follows the heading
    told: bool  # "White has"
    men: Roster
    counts: list[MenCount] = field(default_factory=list)

    @property
    def end(self) -> int:
        return self.men.end

    @property
    def entries(self) -> list[Entry]:
        return self.men.entries


def find_lists(text: str) -> Iterator[Diagram]:
    """Yield every piece list in `text` (masked text of a document) in order. Never raises for any text."""
    found = [*filter(None, map(partial(_of_columns, text, may_fail=True), find_coloured_men(text)))]
    columns = filter(None, map(partial(_of_columns, text), find_men_in_columns(text)))
    for diagrams in ([*_named_sides(text), *columns], _without_sides(text)):
        found += _beside(found, diagrams)
    yield from sorted(found, key=lambda diagram: diagram.span)


def find_tables(document: Document) -> Iterator[Diagram]:
    """Yield the positions of a document that stand in tables of their men. Never raises for any text."""
    for columns in find_men_in_tables(document.text, document.masked):
        if (diagram := _of_columns(document.text, columns, may_fail=True)) is not None:
            yield diagram


def _beside(taken: Iterable[Diagram], others: Iterable[Diagram]) -> list[Diagram]:
    """Return those of `others` that stand apart from all that are taken."""
    spans = [diagram.span for diagram in taken]
    return [
        each for each in others if all(each.span.end <= span.start or span.end <= each.span.start for span in spans)
    ]


def _without_sides(text: str) -> Iterator[Diagram]:
    """Yield the lists that do not name both sides: White's men, what sets them against the others, Black's men."""
    place = 0
    for match in _FIRST_KINGS.finditer(text):
        if match.start() < place:
            continue
        end = match.end()
        parted = _second_king().search(text, end, _line_end(text, end))  # "/" parts two men of a side as well
        white = _of_king(text if parted is None else text[: parted.start()], match.start(), chess.WHITE)
        against = _AGAINST.match(text, white.end) if white else None
        if white is None or against is None or not _first_king().match(text, against.end()):
            if (half_named := _other_named(text, match.start())) is not None:
                place = half_named.span.end
                yield half_named
            continue
        black = _of_king(text, against.end(), chess.BLACK)
        if black is None:
            continue
        beyond_doubt = bool(against["word"] or (white.counts and black.counts))
        if not beyond_doubt and not _fills_line(text, white, black):
            continue
        if white.men.size + black.men.size >= 3:
            diagram = _read(text, white, black)
            place = diagram.span.end
            yield diagram


def _other_named(text: str, start: int) -> Diagram | None:
    """Return the list of whose sides only the second is named: "Kf6 Qb6 f2, and Black has Ke8 d5"."""
    for colour in (chess.WHITE, chess.BLACK):
        first = _of_king(text, start, colour)
        second = None if first is None else _other_side(text, first)
        if first is None or second is None or first.men.size + second.men.size < _FEWEST:
            continue
        diagram = _read(text, first, second)
        return diagram if _both_kings(diagram) and not diagram.faults else None
    return None


@cache
def _first_king() -> re.Pattern[str]:
    """Return the pattern of a king's letter with a square, as the first man of a side."""
    letters = {letter for table in LANGUAGES.values() for letter, kind in table.items() if kind == chess.KING}
    return re.compile(rf"(?<![\w.…/\\-])(?:{'|'.join(sorted(letters))}|[♔♚])[a-h][1-8](?![\w+#!?=×~-])")


_FIRST_KINGS = InLines(_first_king)


@cache
def _second_king() -> re.Pattern[str]:
    """Return the pattern of a stroke or dash with a king behind it."""
    return re.compile(rf"\s*[-–—/|+]\s*(?={_first_king().pattern})")


def _line_end(text: str, place: int) -> int:
    end = text.find("\n", place)
    return len(text) if end < 0 else end


def _fills_line(text: str, white: _Side, black: _Side) -> bool:
    """Tell whether two lists begin a line, are no moves, and are followed by nothing but their number or a full stop.

    A table of moves prints "Kd5 Qb6 / Kd6 Qc7": there the kings stand side by side, or a square stands twice.
    """
    if any(entry.name == side.entries[0].name for side in (white, black) for entry in side.entries[1:]):
        return False  # a king goes twice
    start = text.rfind("\n", 0, white.start) + 1
    before = text[start : white.start]
    sizes = white.men.size, black.men.size
    if counted := _BOTH_COUNTS.match(text, black.end):
        return sizes == (int(counted[1]), int(counted[2]))
    behind = text[black.end : _line_end(text, black.end)].strip()
    squares = [entry.square for side in (white, black) for entry in side.entries]
    if (
        (before.strip(_LABEL) and not _opens_line(before))
        or behind[:1] not in ("", ".", ";", ",", "|")
        or sum(sizes) < _FEWEST
    ):
        return False
    kings = [chess.parse_square(side.entries[0].square) for side in (white, black)]
    return len(set(squares)) == len(squares) and chess.square_distance(*kings) > 1


def _opens_line(words: str) -> bool:
    """Tell whether the words before a list on its line are over, and hold no play: "First Prize (No. 7)."."""
    return words.rstrip()[-1:] in tuple(".:)](–—") and not _ON_BOARD.search(words)


def _of_king(text: str, start: int, colour: chess.Color) -> _Side | None:
    """Read the men of a side from its king on, with their number behind them."""
    men = roster(text, start)
    if not men.entries:
        return None
    side = _Side(colour, frozenset(), start, marked=True, told=False, men=men)
    if behind := _COUNT_BEHIND.match(text, men.end):
        side.counts.append(MenCount(Span(*behind.span("count")), int(behind["count"]), (colour,)))
        men.end = behind.end()
    return side


def _named_sides(text: str) -> Iterator[Diagram]:
    """Yield the lists that name both sides."""
    place = 0
    for match in HEADINGS.finditer(text):
        if match.start() < place:
            continue
        first = _side(text, match)
        if first is None:
            continue
        second = _other_side(text, first)
        if second is None or (not first.marked and len(first.entries) < 2):
            continue
        if first.men.size + second.men.size >= 3 and not _inside_solution(text, first.start):
            diagram = _read(text, first, second)
            if (first.told or second.told or _hyphened(text, first, second)) and not _both_kings(diagram):
                continue  # "White has Qd1 and Rf1, Black has Rf8" speaks of some men, "White: K-e2" of a move
            place = diagram.span.end
            yield diagram


def _hyphened(text: str, *sides: _Side) -> bool:
    return any(text[entry.square_span.start - 1] == "-" for side in sides for entry in side.entries)


def _of_columns(text: str, columns: Columns, *, may_fail: bool = False) -> Diagram | None:
    """Return the position of two columns of men, None where they are not all men, as in a table of moves.

    `may_fail`: they cannot be anything else, so that what is no man is a fault.
    """
    sides = []
    for word, start, men in columns.sides:
        languages = frozenset(language for language, words in SIDES.items() if word in words)
        sides.append(_Side(COLOURS[word], languages, start, marked=True, told=True, men=men))
    diagram = _read(text, *sides)
    return diagram if _both_kings(diagram) and (may_fail or not diagram.faults) else None


def _both_kings(diagram: Diagram) -> bool:
    kings = [piece.color for piece in diagram.pieces.values() if piece.piece_type == chess.KING]
    return sorted(kings) == [chess.BLACK, chess.WHITE]


def _inside_solution(text: str, start: int) -> bool:
    """Tell a list in brackets within a line of play, such as "(White: Kg6, Rh8; Black: Kg8)"."""
    before = text[max(0, start - 2) : start].rstrip()
    if not before.endswith("("):
        return False
    farthest = max(0, start - _FARTHEST)
    line_start = max(text.rfind("\n", farthest, start) + 1, text.rfind("\r", farthest, start) + 1, farthest)
    return _played().search(text, line_start, start) is not None


def _side(text: str, head: re.Match[str], *, lone: bool = True) -> _Side | None:
    """Read the men behind a heading. None if none can be read; unless `lone`, a square there is a fault of the list."""
    word = (head["side"] or head["short"]).lower()
    men = roster(text, head.end())
    if not men.entries and not lone and (left := left_over(text, head.end())):
        men.faults.append(
            TextFault(left, f"{' '.join(left.of(text).split())} cannot be read in this list of men", unread=True)
        )
        men.end = left.end
    if not (men.entries or men.faults) or word not in COLOURS:  # "whıte": `re` takes a letter without its dot too
        return None
    languages = frozenset(language for language, words in SIDES.items() if word in words)
    marked = bool(head["mark"] or head["short"])
    side = _Side(COLOURS[word], languages, head.start(), marked, bool(head["told"]), men)
    for group in ("count", "counted", "numbered"):
        if head[group]:
            side.counts.append(MenCount(Span(*head.span(group)), number_said(head[group]), (side.colour,)))
    return side


def _other_side(text: str, first: _Side) -> _Side | None:
    place = first.end
    if behind := _COUNT_BEHIND.match(text, place):
        first.counts.append(MenCount(Span(*behind.span("count")), int(behind["count"]), (first.colour,)))
        place = behind.end()
    if said := _REMARK.match(text, place):
        place = said.end()
    gap = _BETWEEN.match(text, place)
    match = heading().match(text, gap.end() if gap else place)
    second = _side(text, match, lone=not first.marked) if match else None
    if second is None or second.colour == first.colour:
        return None
    if behind := _COUNT_BEHIND.match(text, second.end):
        span, number = Span(*behind.span("count")), int(behind["count"])
        second.counts.append(MenCount(span, number, (second.colour,), or_both=True))
        second.men.end = behind.end()
    return second


class _Man(NamedTuple):
    """One square of a list with what stands on it, None where the name is not known."""

    kind: chess.PieceType | None
    entry: Entry


def _read(text: str, *sides: _Side) -> Diagram:
    """Read two lists. Old squares are as each side counts them, or as White counts all of them.

    Where the author does not say which, it may be either, unless one of them puts two men on a square.
    """
    if not any(entry.old for side in sides for entry in side.entries) or _FROM_WHITE.search(text):
        return _placed(text, sides, turned=False)
    own, from_white = _placed(text, sides, turned=True), _placed(text, sides, turned=False)
    if own.faults and not from_white.faults and _both_kings(from_white):
        return from_white
    others = () if own.faults or from_white.faults else (from_white.pieces,)
    return replace(own, others=others)


def _placed(text: str, sides: Sequence[_Side], *, turned: bool) -> Diagram:
    hint = sides[0].languages & sides[1].languages or sides[0].languages | sides[1].languages
    letters = [
        (letter_of(entry.name), side.colour)
        for side in sides
        for entry in side.entries
        if entry.name and entry.name not in (*FIGURINES, PAWNS) and entry.name.lower() not in NAMES
    ]
    table = LANGUAGES[
        "en" if any(entry.old for each in sides for entry in each.entries) else choose_language(letters, hint)
    ]
    kinds: dict[str | None, chess.PieceType | None] = {
        entry.name: kind_of(entry.name, table) for side in sides for entry in side.entries if entry.name
    }
    pawns_named = any(_names_pawns(side.entries, kinds) for side in sides)
    capitals = all(entry.square.isupper() for side in sides for entry in side.entries)  # "KE1, QB3"
    pieces: dict[chess.Square, chess.Piece] = {}
    piece_spans: dict[chess.Square, Span] = {}
    faults: list[TextFault] = []
    for side in sides:
        faults += side.men.faults
        owner = "White" if side.colour else "Black"
        king: str | None = None
        for kind, entry in _men(side.entries, kinds, pawns_named=pawns_named):
            if entry.name and kind is None:
                faults.append(TextFault(entry.span, f"{entry.name} names no man in this list"))
            name = as_white_counts(entry.square) if turned and entry.old and not side.colour else entry.square
            name = name.lower() if capitals else name
            if name not in chess.SQUARE_NAMES:
                faults.append(TextFault(entry.square_span, f"{entry.square} is not a square"))
                continue
            square = chess.parse_square(name)
            printed = entry.square_span.of(text)
            if square in pieces:
                faults.append(TextFault(entry.span, f"a second man is put on {printed}"))
            elif kind == chess.KING and king:
                faults.append(TextFault(entry.span, f"{owner} has a second king, on {printed}"))
            elif kind is not None:
                pieces[square] = chess.Piece(kind, side.colour)
                piece_spans[square] = entry.span
            if kind == chess.KING:
                king = name
    counts = [count for side in sides for count in side.counts]
    return Diagram(
        kind="list",
        span=Span(sides[0].start, sides[1].end),
        pieces=pieces,
        piece_spans=piece_spans,
        faults=tuple(sorted(faults, key=lambda fault: fault.span)),
        counts=tuple(counts),
    )


def _men(
    entries: Iterable[Entry], kinds: Mapping[str | None, chess.PieceType | None], *, pawns_named: bool
) -> Iterator[_Man]:
    """Yield the man of each entry: one without a name repeats the man before it, or is a pawn."""
    current: chess.PieceType | None = chess.PAWN
    repeated = False
    for entry in entries:
        if entry.name:
            current = kinds[entry.name]
            repeated = pawns_named or entry.several
        elif current == chess.KING or not (repeated or entry.square[1] in "18"):
            current = chess.PAWN
        yield _Man(current, entry)


def _names_pawns(entries: list[Entry], kinds: Mapping[str | None, chess.PieceType | None]) -> bool:
    """Tell whether a side prints a name for its pawns, so that a square without a name is none.

    "Na5, b4, and a pawn on h7" adds one in words to a list of letters.
    """
    in_words = all(entry.name.lower() in NAMES for entry in entries if entry.name)
    pawns = [entry for entry in entries if entry.name and kinds[entry.name] == chess.PAWN]
    return any(in_words or entry.plural or (entry.name or "").lower() not in NAMES for entry in pawns)
