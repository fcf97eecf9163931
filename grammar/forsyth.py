"""The ranks of a Forsyth string as people write it: in letters of their own, with other signs between the ranks.

"r3k3 / 1p1n1p2 / ..." with blanks, bars, commas or line ends for the bare strokes of the standard; each rank on a
line of its own, with its number; S for the knight, or the letters of another language (letters.py). Where the
strokes are not those of the standard, eight ranks are a position only if both sides have one king there.
"""

import re
from collections.abc import Iterator, Mapping
from itertools import pairwise

import chess
from msgspec import Struct

from .in_lines import InLines
from .letters import LANGUAGES
from .spans import Span

STANDARD: Mapping[str, chess.PieceType] = dict(zip("KQRBNP", (6, 5, 4, 3, 2, 1), strict=True))
"""The letters of the PGN standard, 16.1.3.1."""

_OWN: list[dict[str, chess.PieceType]] = [
    {"P": chess.PAWN, **{letter: kind for letter, kind in table.items() if len(letter) == 1 and letter.isupper()}}
    for table in LANGUAGES.values()
]  # a German who writes no B for the pawns writes P
_RANK = r"(?:(?=[A-Za-z]*[1-8])[A-Za-z1-8]{1,8}|[pnbrqksdtlfcahwgPNBRQKSDTLFCAHWG]{8})"
_NUMBER = r"(?:(?i:rank[ \t]{1,3})?[1-8][ \t]?[.:)=–—-][ \t]{0,9})?"
_SIGN = r"(?:(?P<sign>[/\\|,;])[ \t\u00a0]{0,9})?"
_BELOW = rf"(?:\r?\n[ \t]{{0,40}}{_NUMBER}(?:(?P<below>[/\\|])[ \t]{{0,9}})?)?"
_FIRST = InLines(lambda: re.compile(rf"(?<![\w/\\|]){_RANK}(?=[\s/\\|,;])"))
_NEXT = re.compile(rf"(?=[\s/\\|,;])[ \t\u00a0]{{0,9}}{_SIGN}{_BELOW}(?P<rank>{_RANK})(?!\w)")
_GOES_ON = re.compile(r"[/\\|,;]\w")
_FEWEST_FULL = 6  # ranks of eight squares, where a misprint has spoilt others


class Placement(Struct, frozen=True):
    """The ranks of a position in order, the eighth first, and where all of it stands."""

    span: Span
    ranks: tuple[Span, ...]


def squares_of(rank: str) -> int:
    """Count the squares a rank describes; any letter is one square."""
    return sum([int(sign) if sign in "12345678" else 1 for sign in rank])


def strokes(match: re.Match[str]) -> Placement:
    """Return the ranks of a match that bare strokes part."""
    ranks, start = [], match.start()
    for rank in match[0].split("/"):
        ranks.append(Span(start, start + len(rank)))
        start += len(rank) + 1
    return Placement(Span(*match.span()), tuple(ranks))


def loose_placements(text: str) -> Iterator[Placement]:
    """Yield the placements in `text` whose ranks are parted in any other way than by bare strokes."""
    end = 0
    for first in _FIRST.finditer(text):
        if first.start() < end or (placement := _from(text, first)) is None:
            continue
        full = [squares_of(rank.of(text)) for rank in placement.ranks].count(8)
        if full >= _FEWEST_FULL and not _bare(text, placement) and _has_kings(text, placement):
            end = placement.span.end
            yield placement


def _from(text: str, first: re.Match[str]) -> Placement | None:
    """Return the eight ranks that begin with `first`, parted by one sign or none; None if they do not go on so long.

    They are taken one by one: a pattern of all eight would try each of them again for every way to take the others.
    """
    ranks, signs = [Span(*first.span())], set()
    full = squares_of(first[0]) == 8
    while len(ranks) < 8:
        following = _NEXT.match(text, ranks[-1].end)
        if following is None:
            return None
        signs |= {sign for sign in (following["sign"], following["below"]) if sign}
        ranks.append(Span(*following.span("rank")))
        full |= squares_of(following["rank"]) == 8
        if len(signs) > 1 or not full:
            return None  # neither of the first two is a rank: a list of squares
    over = _GOES_ON.match(text, ranks[-1].end)
    return None if over else Placement(ranks[0].to(ranks[-1]), tuple(ranks))


def _bare(text: str, placement: Placement) -> bool:
    """Tell whether nothing but single strokes stands between the ranks, as in the standard."""
    ranks = placement.ranks
    return all(text[one.end : other.start] == "/" for one, other in pairwise(ranks))


def _has_kings(text: str, placement: Placement) -> bool:
    men = "".join(rank.of(text) for rank in placement.ranks)
    return any(_kings(men, table) and _knows(men, table) for table in _OWN)


def _kings(men: str, table: Mapping[str, chess.PieceType]) -> bool:
    """Tell whether each side has one king, in the letters of a language."""
    king = next(letter for letter, kind in table.items() if kind == chess.KING) if chess.KING in table.values() else ""
    return bool(king) and men.count(king) == 1 and men.count(king.lower()) == 1


def _knows(men: str, table: Mapping[str, chess.PieceType]) -> bool:
    return all(sign.isdecimal() or sign.upper() in table for sign in men)


def language_of(placement: Placement, text: str) -> Mapping[str, chess.PieceType]:
    """Return the letters of the men: the standard's unless another language alone knows them all, with its kings."""
    men = "".join(rank.of(text) for rank in placement.ranks)
    if _knows(men, STANDARD) and "K" in men.upper():
        return STANDARD
    if len(placement.ranks) == 8 and not ("N" in men.upper() and "S" in men.upper()):
        fitting = (table for table in _OWN if _kings(men, table) and _knows(men, table))
        return next(fitting, STANDARD)
    return STANDARD
