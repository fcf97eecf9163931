"""The men of one side in a list: each square with the name before it, and what of the list cannot be read.

A list is read whole: a square that is left over, or a count that does not fit what it counts,
is a fault at its place, so that no man is lost in silence.
"""

import re
from functools import cache

import chess
from msgspec import Struct, field

from .descriptive import OFFICER, RANK, WING, squares_called
from .document import TextFault
from .in_lines import InLines
from .letters import ANY_LETTER, FIGURINES, LANGUAGES, SIDES, WORDS
from .spans import Span
from .words import NUMBERS, number_said, one_of

COLOURS = {word: colour for words in SIDES.values() for word, colour in words.items()}
NAMES = {word: kind for words in WORDS.values() for word, kind in words.items()}
_PLURALS = frozenset(
    name
    for names in WORDS.values()
    for name, kind in names.items()
    if kind in list(names.values())[: list(names).index(name)]
)
PAWNS = "pp"
"""The name of an entry for pawns printed as "pp." or "P's"."""

_PLACED = r"(?:(?:(?:is|are|stands?|sits?|stehe?n?t?)\s+)?(?:at|on|auf|en|in|em|op|na|på|на)\s+)"
_SEPARATOR = re.compile(
    r"(?:[\r\n][ \t]*[-*–—](?=\s)|[\s,;&•/]|\.(?=\s)|\+(?!\d)|(?<=\s)\([^\W\d][^()\d\r\n]{2,60}\)"
    r"|\b(?:and(?:\s+also)?|as\s+well\s+as|plus|with|und|sowie|et|och|og|en|ed?|y|i|oraz|и)\b(?=\s))*"
)
_AHEAD = r"(?=[a-zA-Z]\d|[a-h][lI](?!\w)|[KQ]?['’s.]{0,3}\s?(?:[QKRBN]|Kt)\.?\s?(?:[1-8]|sq))"
_SQUARE = re.compile(r"([a-h][1-8])(?![\w#!?=×~]|\+(?![KQRBNSPDTLCFA]?[a-h][1-8])|\s?[-–]\s?[a-h][1-8])")
_ON_BOARD = re.compile(r"[a-h][1-8]")
_NO_SQUARE = re.compile(r"[a-zA-Z]\d{1,2}(?![\w+#!?=×~])|[a-h][lI](?!\w)")  # a scanner's "el" is e1
# "Q Kt sq", "K 6", "KB4": the file by the man that begins on it, the rank as that side counts it.
_OLD_SQUARE = re.compile(rf"{WING}(?:{OFFICER})?(?P<rank>{RANK})")
_ALONE = r"(?:(?:all\s+|quite\s+)?alone|only|by\s+(?:him|it|her)self|on\s+(?:his|its)\s+own|without\s+company)"
_ONLY = r"bare|only|just|merely|nothing\s+(?:but|except)|no\s+more\s+than|poor|solitary"
_ARTICLE = (
    rf"(?:an?|the|one|single|lone|{_ONLY}|further|another|other|his|her|its|my|our|your|their"
    r"|eine?|der|die|das|une?|les?|las?|los|el|il|lo|gli|een|de|het|os|as|uma?)\s+"
)
_HAS = r"(?:has|have|hat|haben|heeft|hebben|ont|tienen?|hanno|ha|têm|tem|har)"
_MEN = r"men|pieces|units|steine|figuren|pièces|piezas|pezzi|stukken|peças|bierek|pjäser"
_LEAD = re.compile(rf"(?:{_ARTICLE})*(?:(?P<number>[2-8]|{one_of(NUMBERS)})(?:\s+|(?=[A-Z♔-♟])))?(?:{_ARTICLE})*", re.I)
# Where the list must be over: a sentence ends, or play, or what is asked, begins.
_STOP = re.compile(
    r"[.!?;:)\]](?=\s|$)|[\r\n]|(?<!\w)\d{1,3}\s?\.|[#=]\s?\d|…|[-–—]{2,}|\s[-–—]\s"
    r"|\b(?:mates?|keys?|moves?|plays?|threat\w*|solutions?|try|tries|draws?|wins?|vs?|versus|against|gegen|contre|can|cannot|is|are|has|have|then|which)\b",
    re.I,
)
_LEFT_OVER = re.compile(
    r"(?<![\w:×-])(?:[^\W\d_]{0,2}[a-h][1-8](?![\w+#!?=×~:]|[-–][a-h]|\s?[x×]\s?[a-h])"
    r"|(?P<file>[a-h])[1-8][-–](?!(?P=file))[a-h][1-8](?![\w+#!?=]))"  # two pawns; on one file it is a move
)
_MOVES_ON = re.compile(r"\s?[-–]\s?[a-h][1-8]")
_REMARK = re.compile(r"\([^()\d]{1,60}\)")
_SENTENCE = re.compile(r"\.\s+(?:The|An?|His|My|Our)\b")  # another one begins, which is no part of the list
_FARTHEST = 400  # characters in which so few words end; a line may be as long as a book
_MOST_WORDS = 4  # unread words before a square that is left over; after more of them it is no part of the list


class Entry(Struct, frozen=True):
    """One square of a list. `name` is as printed, or None for a square without a letter of its own.

    `square` is algebraic, as printed; one in descriptive notation is given as its side counts it, `old`.
    `several`: the name may stand for as many men as squares follow; `plural`: it does.
    """

    name: str | None
    square: str
    span: Span
    square_span: Span
    old: bool = False
    several: bool = False
    plural: bool = False


class Roster(Struct):
    """The entries of one side in order, the faults, and where the last thing that was read ends."""

    end: int
    entries: list[Entry] = field(default_factory=list)
    faults: list[TextFault] = field(default_factory=list)

    @property
    def size(self) -> int:
        """How many squares were found, read or not."""
        return len(self.entries) + len(self.faults)


@cache
def heading() -> re.Pattern[str]:
    """Return the pattern of a heading over the men of one side: "White:", "WHITE (8)", "b:", "White has", "wKd8"."""
    long, short, kings = _of_headings()
    count = rf"(?:\s*\(\s*(?P<count>\d{{1,2}}|(?:{one_of(NUMBERS)})\b)[^)\r\n]{{0,12}}\))?"
    numbered = rf"(?:,?\s+(?P<numbered>\d{{1,2}}|(?:{one_of(NUMBERS)})\b)\s+(?i:{_MEN})\b)?"
    return re.compile(
        rf"(?<![\w'’-])(?:(?P<side>{long})\b(?!['’]){count}{numbered}(?:\s+(?i:pieces|men))?"
        rf"(?:(?P<mark>\s*(?:[:.]?[=–—]|[:.]?-+|[:.]|\)\s?:|\]\s?:?))|(?P<told>\s+{_HAS}\b\s?:?))?"
        rf"|(?P<short>{short})(?:\s?(?:\((?P<counted>\d{{1,2}})\))?[:.]|(?=(?:{kings})[a-h][1-8](?!\w))))"
    )


@cache
def _of_headings() -> tuple[str, str, str]:
    """Return the patterns of the names of sides, of their letters, and of the kings behind these."""
    words = sorted(COLOURS, key=len, reverse=True)
    long = one_of(word for word in words if len(word) > 1)
    short = one_of(word for word in words if len(word) == 1)
    kings = "|".join(
        sorted({name for table in LANGUAGES.values() for name, kind in table.items() if kind == chess.KING})
    )
    return long, short, kings


def _begins_heading() -> re.Pattern[str]:
    """Return the pattern of the places where a heading may begin."""
    long, short, kings = _of_headings()
    return re.compile(rf"(?<![\w'’-])(?=(?:{long})\b|(?:{short})(?:\W|(?:{kings})[a-h]))")


HEADINGS = InLines(_begins_heading, heading)
"""The headings of a text, as `heading` tells them."""


@cache
def _name() -> re.Pattern[str]:
    names = "|".join(sorted(NAMES, key=len, reverse=True))
    mark = r"(?:[ \t\u00a0]?(?:[:(=]|--|[–—])[ \t]?|-(?=[a-h][1-8](?!\w))|[ \t\u00a0]?)"
    return re.compile(
        rf"(?P<word>(?i:{names}))\b\.?(?:[,\s]\s*{_ALONE}\b,?)?(?:\s*[:(=]\s*|\s*(?:--|[–—])\s*|\s+){_PLACED}?"
        rf"|(?P<pawns>[Pp]{{2}}|[Pp]\.?['’]?s)\.?{mark}{_PLACED}?{_AHEAD}"
        rf"|(?P<letter>{ANY_LETTER})(?P<plural>\.?['’]?s)?\.?{mark}{_PLACED}?{_AHEAD}"
        rf"|(?P<sign>[{''.join(FIGURINES)}])[\ufe0e\ufe0f]?\s?"
        r"|(?P<strange>[A-Z])(?=[a-h][1-8](?!\w))"
        r"|(?P<small>[a-z])(?=[a-h][1-8](?!\w))"
        r"|(?P<pawn>p)\.?[ \t](?=[a-h][1-8](?!\w))"
    )


class _Named(Struct, frozen=True):
    """The name of a man where one stands, and where its square begins."""

    printed: str | None
    after: int
    several: bool = False
    plural: bool = False
    strange: bool = False
    opens: bool = False  # a bracket
    number: Span | None = None


def roster(text: str, place: int) -> Roster:
    """Read the men of one side from `place`, which is behind its heading, as far as the list goes."""
    found = Roster(place)
    counted: tuple[Span, int] | None = None  # a printed number, and how many entries stood before it
    opened = False
    while True:
        place = _behind_remark(text, skip(text, found.end)) if found.entries else skip(text, found.end)
        old = bool(found.entries) and found.entries[-1].old
        if found.entries and (_next_side(text, place, old=old) or _SENTENCE.search(text, found.end, place + 4)):
            break
        named = _named(text, place, old=old)
        entry = _entry(text, place, named, len(found.entries))
        if entry is None:
            left = left_over(text, found.end) if found.entries else None
            if left is None:
                break
            found.faults.append(
                TextFault(left, f"{_words(left.of(text))} cannot be read in this list of men", unread=True)
            )
            found.end = left.end
            continue
        if named.printed is not None:
            _compare(found, counted, text)
            counted = (named.number, len(found.entries)) if named.number else None
            opened = named.opens
        found.entries.append(entry)
        found.end = entry.span.end
        if opened and (closed := re.match(r"\s?\)", text[found.end : found.end + 2])):
            found.end += closed.end()
            opened = False
    _compare(found, counted, text)
    return found


def skip(text: str, place: int) -> int:
    """Return where what separates two men ends."""
    gap = _SEPARATOR.match(text, place)
    return gap.end() if gap else place


def _behind_remark(text: str, place: int) -> int:
    """Return where the list goes on behind words in brackets: "Re1 (not yet moved), Th1"; `place` if it does not."""
    remark = _REMARK.match(text, place)
    if remark is None:
        return place
    after = skip(text, remark.end())
    named = _named(text, after)
    return after if named.printed is not None and _SQUARE.match(text, named.after) else place


def _next_side(text: str, place: int, *, old: bool) -> bool:
    """Tell whether the men of a side begin here; "B. Q. Kt. 4" among squares told by files is a bishop."""
    match = heading().match(text, place)
    if match is None or (named := _named(text, skip(text, match.end())).printed) is None:
        return False
    return match["side"] is not None or not old or named.upper().startswith("K")


def _named(text: str, place: int, *, old: bool = False) -> _Named:
    if old and (square := _OLD_SQUARE.match(text, place)) and square["file"]:
        return _Named(None, place)  # "QR2" is a square where squares are told so
    lead = _LEAD.match(text, place)
    for start in dict.fromkeys((lead.end() if lead else place, place)):
        if named := _name().match(text, start):
            printed = (
                PAWNS if named["pawns"] else next(filter(None, map(named.group, ("word", "letter", "sign"))), None)
            )
            printed = printed or named["strange"] or named["small"] or named["pawn"]
            several = bool(named["pawns"] or named["plural"] or named["word"])
            number = Span(*lead.span("number")) if lead and lead["number"] and start == lead.end() else None
            opens = named[0].rstrip().endswith("(")
            plural = (
                number is not None
                or bool(named["pawns"] or named["plural"])
                or (named["word"] or "").lower() in _PLURALS
            )
            return _Named(printed, named.end(), several or plural, plural, bool(named["strange"]), opens, number)
    return _Named(None, place)


def _entry(text: str, place: int, named: _Named, before: int) -> Entry | None:
    """Return the entry at `place`, None if none stands there; `before` counts those before it."""
    square = _SQUARE.match(text, named.after)
    if square is None and (named.printed or before) and (old := _OLD_SQUARE.match(text, named.after)):
        span = Span(place, old.end())
        return Entry(named.printed, _old_name(old), span, Span(*old.span()), True, named.several, named.plural)
    if square is None and (named.printed or before > 1):
        square = _NO_SQUARE.match(text, named.after)
        square = None if square and _ON_BOARD.fullmatch(square[0]) else square
    if square is None or (not before and named.strange):
        return None
    return Entry(
        named.printed, square[0], Span(place, square.end()), Span(*square.span()), False, named.several, named.plural
    )


def _old_name(old: re.Match[str]) -> str:
    """Return a descriptive square as its side counts it: "K 6" is e6."""
    return chess.square_name(chess.lsb(squares_called(old["wing"], old["file"], old["rank"])))


def _compare(found: Roster, counted: tuple[Span, int] | None, text: str) -> None:
    """Report a printed number of men that does not fit the squares behind it."""
    if counted is None:
        return
    span, before = counted
    number = number_said(span.of(text))
    given = len(found.entries) - before
    if given != number:
        found.faults.append(TextFault(span, f"{span.of(text)} men are counted here, and {_squares(given)}"))


def _squares(number: int) -> str:
    return "one square is given" if number == 1 else f"{number} squares are given"


def left_over(text: str, place: int) -> Span | None:
    """Return the words up to a square that stands on the line of men behind `place` and was not read."""
    if _MOVES_ON.match(text, place):
        return None
    farthest = min(len(text), place + _FARTHEST)
    ends = (text.find("\n", place, farthest), text.find("\r", place, farthest))
    line_end = min((end for end in ends if end >= 0), default=farthest)
    for stop in (_STOP.search(text, place, line_end), heading().search(text, place, line_end)):
        line_end = min(line_end, stop.start()) if stop else line_end
    square = _LEFT_OVER.search(text, place, line_end)
    if square is None:
        return None
    start = skip(text, place)
    words = re.findall(r"[^\W\d_]{2,}", text[start : square.start()])
    return Span(min(start, square.start()), square.end()) if len(words) <= _MOST_WORDS else None


def _words(words: str) -> str:
    return " ".join(words.split())
