"""Lists in which each man says whose he is: "wKe1, wPa2 b2, bKe8", "WK e1; BK e8", "♔e1 ♚e8", the sides mixed."""

import re
from collections.abc import Iterator, Sequence

import chess

from .in_lines import InLines
from .letters import FIGURINES, LANGUAGES
from .men_in_columns import Columns
from .roster import Entry, Roster
from .spans import Span

_SIDES = {"wb": ("white", "black"), "ws": ("weiß", "schwarz"), "bn": ("blancs", "noirs")}
_SIDES |= {"wz": ("wit", "zwart"), "bp": ("brancas", "pretas"), "vs": ("vit", "svart")}
PAIRS = tuple(_SIDES)
"""The first letters of White and Black in some language; Spanish and Italian have those of French."""

_BETWEEN = re.compile(r"(?:[\s,;.|/&+•*–—-]|\band\b|\bund\b|\bet\b)*")
_FEWEST = 3  # men


def _man() -> re.Pattern[str]:
    """Return the pattern of one man with his side, and the squares of him and of others like him."""
    letters = {letter for table in LANGUAGES.values() for letter in table if len(letter) > 1}
    several = "|".join(sorted(letters, key=lambda letter: (-len(letter), letter)))  # the same in each run: it is kept
    square = r"[a-z]\d{1,2}(?![\w+#!?=×~])"
    return re.compile(
        rf"(?<!\w)(?:(?P<side>[wbsnzpvWBSNZPV])\.?[ ]?(?P<man>{several}|[^\W\d_])\.?[ ]?"
        rf"|(?P<sign>[{''.join(FIGURINES)}])[\ufe0e\ufe0f]?[ ]?)(?P<squares>{square}(?:(?:[ ]?,[ ]?|[ ]){square})*)"
    )


_SQUARE = re.compile(r"[a-z]\d{1,2}")
_MEN = InLines(_man)


def find_coloured_men(text: str) -> Iterator[Columns]:
    """Yield every list in `text` whose men say whose they are, whether or not they make a position. Never raises."""
    run: list[re.Match[str]] = []
    for man in _MEN.finditer(text):
        if run and not _BETWEEN.fullmatch(text, run[-1].end(), man.start()):
            yield from _listed(run)
            run = []
        run.append(man)
    yield from _listed(run)


def _listed(men: Sequence[re.Match[str]]) -> Iterator[Columns]:
    pair = _pair(men)
    if len(men) < _FEWEST or pair is None:
        return
    whole = men[0].start(), men[-1].end()
    sides = {chess.WHITE: Roster(whole[1]), chess.BLACK: Roster(whole[1])}
    for man in men:
        colour = FIGURINES[man["sign"]].color if man["sign"] else man["side"].lower() == pair[0]
        name = man["sign"] or (man["man"].upper() if man["man"] in "pnbrqk" else man["man"])
        start = man.start()
        for square in _SQUARE.finditer(man.string, *man.span("squares")):
            span = Span(start, square.end())
            sides[colour].entries.append(Entry(name, square[0], span, Span(*square.span())))
            start = square.end()
    words = _SIDES[pair]
    yield Columns(((words[0], whole[0], sides[chess.WHITE]), (words[1], whole[0], sides[chess.BLACK])))


def _pair(men: Sequence[re.Match[str]]) -> str | None:
    """Return the letters of the two sides, those of English where figurines tell them; None if they are not two."""
    letters = {man["side"].lower() for man in men if man["side"]}
    if not letters:
        colours = {FIGURINES[man["sign"]].color for man in men}
        return "wb" if len(colours) == 2 else None
    return next((pair for pair in PAIRS if set(pair) == letters), None)
