"""Piece lists in the trade's style: "White: Kg1, Qd1, Pa2 b2; Black: Kg8, Rf8".

The letters may be those of any language in `letters.py`, figurines or whole words;
which language it is follows from the letters, the kings and the headings. Pawns may
stand without a letter. A list names both sides: one side alone looks too much like a
line of play.
"""

import re
from collections.abc import Iterable, Iterator, Set
from dataclasses import dataclass
from functools import cache

import chess

from .document import Diagram, TextFault
from .letters import FIGURINES, LANGUAGES, SIDES, WORDS
from .spans import Span
from .words import one_of

_COLOURS = {word: colour for words in SIDES.values() for word, colour in words.items()}
_NAMES = {word: kind for words in WORDS.values() for word, kind in words.items()}


@cache
def _patterns() -> tuple[re.Pattern[str], re.Pattern[str], re.Pattern[str]]:
    """Return the patterns of a heading, of the name of a man and of a printed move number with its move."""
    words = sorted(_COLOURS, key=len, reverse=True)
    long = one_of(word for word in words if len(word) > 1)
    short = one_of(word for word in words if len(word) == 1)
    heading = (
        rf"(?<![\w'’-])(?:({long})\b(?!['’])(?:\s*\(\s*\d{{1,2}}[^)\r\n]{{0,12}}\))?(?:\s+(?i:pieces|men))?(\s*[:.=–—-])?"
        rf"|({short})\s?(?:\(\d{{1,2}}\))?[:.])"
    )
    letters = {letter for table in LANGUAGES.values() for letter in table}
    several = "|".join(sorted((letter for letter in letters if len(letter) > 1), key=len, reverse=True))
    single = "".join(sorted(letter for letter in letters if len(letter) == 1))
    names = "|".join(sorted(_NAMES, key=len, reverse=True))
    name = (
        rf"(?P<word>(?i:{names}))\b\.?\s+(?:(?:at|on|auf|en|op|na|på|на)\s+)?"
        rf"|(?P<letter>{several}|[{single}])\.?[ \t\u00a0]?(?:(?:at|on|auf)\s+)?(?=[a-zA-Z]\d)"
        rf"|(?P<sign>[{''.join(FIGURINES)}])[\ufe0e\ufe0f]?\s?"
        r"|(?P<strange>[A-Z])(?=[a-h][1-8](?!\w))"
        r"|(?P<small>[a-z])(?=[a-h][1-8](?!\w))"
    )
    played = r"\d\s*(?:\.{1,3}|…)\s*(?:[^\W\d_]{0,2}[a-h]?[1-8]?[x:]?[a-h][1-8]|[0O]-[0O])"
    return re.compile(heading), re.compile(name), re.compile(played)


_SQUARE = re.compile(r"([a-h][1-8])(?![\w+#!?=×~]|\s?[-–]\s?[a-h][1-8])")
_NO_SQUARE = re.compile(r"[a-zA-Z]\d{1,2}(?![\w+#!?=×~])")
_SEPARATOR = re.compile(r"(?:[\s,;&•]|\.(?=\s)|[-*](?=\s)|\b(?:and|und|et|och|en|и)\b(?=\s))*")
_BETWEEN = re.compile(
    r"(?:[\s,;.|/•*–—-]|\((?:\d{1,2})(?:\s+\w{1,10})?\)|\b(?:and|against|versus|vs|v|und|gegen|contre)\b)*", re.I
)


@dataclass(frozen=True)
class _Entry:
    """One square of a list. `name` is as printed, or None for a square without a letter of its own."""

    name: str | None
    square: str
    span: Span
    square_span: Span


@dataclass
class _Side:
    colour: chess.Color
    languages: Set[str]
    start: int
    marked: bool  # a colon or full stop follows the heading
    entries: list[_Entry]

    @property
    def end(self) -> int:
        return self.entries[-1].span.end


def choose_language(men: Iterable[tuple[str, chess.Color]], hint: Set[str]) -> str:
    """Return the language whose letters fit the men best, each given as (letter, colour).

    More letters known count first, then that each side has one king, then `hint`, the
    languages of the headings; of equals the first in `LANGUAGES` is taken.
    """
    printed = list(men)
    used = {letter for letter, _ in printed}

    def fit(language: str) -> tuple[int, int, bool]:
        table = LANGUAGES[language]
        kings = [colour for letter, colour in printed if table.get(letter) == chess.KING]
        return len(used & table.keys()), sum(kings.count(side) == 1 for side in chess.COLORS), language in hint

    return max(LANGUAGES, key=fit)


def find_lists(text: str) -> Iterator[Diagram]:
    """Yield every piece list in `text` (masked text of a document) in order. Never raises for any text."""
    heading, _, _ = _patterns()
    place = 0
    while match := heading.search(text, place):
        place = match.end()
        first = _side(text, match)
        if first is None:
            continue
        second = _other_side(text, first)
        if second is None or (not first.marked and len(first.entries) < 2):
            continue
        if len(first.entries) + len(second.entries) >= 3 and not _inside_solution(text, first.start):
            place = second.end
            yield _read(first, second)


def _inside_solution(text: str, start: int) -> bool:
    """Tell a list in brackets within a line of play, such as "(White: Kg6, Rh8; Black: Kg8)"."""
    before = text[max(0, start - 2) : start].rstrip()
    if not before.endswith("("):
        return False
    line_start = max(text.rfind("\n", 0, start), text.rfind("\r", 0, start)) + 1
    return _patterns()[2].search(text, line_start, start) is not None


def _side(text: str, heading: re.Match[str]) -> _Side | None:
    word = (heading[1] or heading[3]).lower()
    entries = _entries(text, heading.end())
    if not entries or word not in _COLOURS:  # "whıte": `re` takes a letter without its dot for the same
        return None
    languages = frozenset(language for language, words in SIDES.items() if word in words)
    return _Side(_COLOURS[word], languages, heading.start(), bool(heading[2] or heading[3]), entries)


def _other_side(text: str, first: _Side) -> _Side | None:
    gap = _BETWEEN.match(text, first.end)
    match = _patterns()[0].match(text, gap.end() if gap else first.end)
    second = _side(text, match) if match else None
    return second if second is not None and second.colour != first.colour else None


def _entries(text: str, place: int) -> list[_Entry]:
    heading, name, _ = _patterns()
    found: list[_Entry] = []
    while True:
        gap = _SEPARATOR.match(text, place)
        place = gap.end() if gap else place
        if found and (match := heading.match(text, place)) and name.match(text, _skip(text, match.end())):
            break
        named = name.match(text, place)
        after = named.end() if named else place
        square = _SQUARE.match(text, after)
        if square is None and (named or len(found) > 1):
            square = _NO_SQUARE.match(text, after)
        if square is None or (not found and named is None and square[0] not in chess.SQUARE_NAMES):
            break
        if named and named["strange"] and not found:
            break
        printed = next((group for group in named.groups() if group), None) if named else None
        found.append(_Entry(printed, square[0], Span(place, square.end()), Span(*square.span())))
        place = square.end()
    return found


def _skip(text: str, place: int) -> int:
    gap = _SEPARATOR.match(text, place)
    return gap.end() if gap else place


def _letter(name: str) -> str:
    """Return a printed name as it stands in the tables of letters; a small letter as a capital."""
    known = any(name in table for table in LANGUAGES.values())
    return name if known or len(name) > 1 else name.upper()


def _read(*sides: _Side) -> Diagram:
    hint = sides[0].languages & sides[1].languages or sides[0].languages | sides[1].languages
    letters = [
        (_letter(entry.name), side.colour)
        for side in sides
        for entry in side.entries
        if entry.name and entry.name not in FIGURINES and entry.name.lower() not in _NAMES
    ]
    table = LANGUAGES[choose_language(letters, hint)]
    kinds = {entry.name: _kind(entry.name, table) for side in sides for entry in side.entries if entry.name}
    pawns_named = chess.PAWN in kinds.values()
    pieces: dict[chess.Square, chess.Piece] = {}
    piece_spans: dict[chess.Square, Span] = {}
    faults: list[TextFault] = []
    for side in sides:
        owner = "White" if side.colour else "Black"
        current: chess.PieceType | None = chess.PAWN
        repeated = False  # whether a square without a letter repeats the man before it
        king: str | None = None
        for entry in side.entries:
            if entry.name:
                current = kinds[entry.name]
                repeated = pawns_named or entry.name.lower() in _NAMES
                if current is None:
                    faults.append(TextFault(entry.span, f"{entry.name} names no man in this list"))
            elif current == chess.KING or not (repeated or entry.square[1] in "18"):
                current = chess.PAWN
            if entry.square not in chess.SQUARE_NAMES:
                faults.append(TextFault(entry.square_span, f"{entry.square} is not a square"))
                continue
            square = chess.parse_square(entry.square)
            if square in pieces:
                faults.append(TextFault(entry.span, f"a second man is put on {entry.square}"))
            elif current == chess.KING and king:
                faults.append(TextFault(entry.span, f"{owner} has a second king, on {entry.square}"))
            elif current is not None:
                pieces[square] = chess.Piece(current, side.colour)
                piece_spans[square] = entry.span
            if current == chess.KING:
                king = entry.square
    return Diagram(
        kind="list",
        span=Span(sides[0].start, sides[1].end),
        pieces=pieces,
        piece_spans=piece_spans,
        faults=tuple(faults),
    )


def _kind(name: str, table: dict[str, chess.PieceType]) -> chess.PieceType | None:
    if name in FIGURINES:
        return FIGURINES[name].piece_type
    return _NAMES.get(name.lower()) or table.get(_letter(name))
