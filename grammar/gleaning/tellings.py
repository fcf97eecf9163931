"""Where a text may tell a position, and what it may tell there."""

import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import chain, pairwise, takewhile

import chess
from msgspec import Struct

from ..document import Diagram
from ..letters import LANGUAGES, SIDES
from ..lexicon.tongues import told_in
from ..spans import Span
from . import costs
from .bead import Bead
from .beads import beads, signs_in
from .counted import Count, counts, miscounted, promoted
from .kings import BOTH_KINGS, may_name_kings
from .least import tells_for
from .way import Ended
from .ways import ways

_LANGUAGES = ("en", *(language for language in SIDES if language != "en"))  # of two, the letters of the first
_WHOSE = frozenset(("side", "own", "hearer", "other", "number"))
_LINES = frozenset(("file", "rank", "home"))
_OPENS = frozenset(("side", "own", "hearer", "other", "man", "square", *_LINES))
_WORD = re.compile(r"[^\W\d_]{3,}")


class Telling(Struct, frozen=True):
    """A place where a text may tell a position: what it may be, the likeliest first."""

    diagrams: tuple[Diagram, ...]
    ranks: tuple[int, ...]  # of each: what it costs, its men counted half

    @property
    def span(self) -> Span:
        """Where the likeliest of them is told."""
        return self.diagrams[0].span

    @property
    def strain(self) -> int:
        """What the likeliest costs beside its men: how far its words are from a plain list of them."""
        return self.ranks[0] - costs.PUT // 2 * len(self.diagrams[0].pieces)


def tellings(text: str, span: Span, most: int | None = None) -> Iterator[Telling]:
    """Yield the places in a stretch where a position may be told, in order. They may overlap. Never raises.

    Those that cost more than `most` may be left out.
    That a text names men and squares does not make it tell a position: whoever asks must prove which one is meant.
    """
    tongue = told_in(text, [span])[0]
    signs = signs_in(text, span, letters_of(text), tongue)
    if not may_name_kings(text, span, signs, tongue):
        return
    string = beads(text, span, signs, tongue)
    by_rank = any(bead.old or bead.does == "home" for bead in string)
    for start in _starts(string):
        if most is not None and not tells_for(string, start, most):
            continue
        found = _found(string, start, by_rank, most)
        told = counts(string[start : max((each.end for each in found), default=start) + costs.COUNTED_BEHIND])
        ranked = sorted(
            ((each.rank + _unlikely(each, told) + _left_out(string, start, each), each) for each in found),
            key=lambda each: each[0],
        )
        diagrams = [_diagram(string[start : each.end], each) for _, each in ranked]
        if diagrams:
            yield Telling(tuple(diagrams), tuple(rank for rank, _ in ranked))


def _found(string: Sequence[Bead], start: int, by_rank: bool, most: int | None) -> list[Ended]:
    """Return what beads may tell, nothing if all of it costs more than `most`.

    `by_rank`: each side may count the ranks.
    """
    views = (False, True) if by_rank else (False,)
    found = [ways(string, start, from_white=view, most=most) for view in views]
    if not any(found):
        return []
    if None in found:  # what costs more may be meant too where something does not
        found = [ways(string, start, from_white=view) for view in views]
    return sorted(chain.from_iterable(filter(None, found)), key=lambda each: each.rank)


def lifted(text: str, span: Span) -> frozenset[chess.Square]:
    """Return the squares of a stretch of which it is said that no man stands there."""
    string = beads_of(text, span)
    return frozenset(square for bead in string if bead.does == "lifted" for square in bead.values)


def miscounts(text: str, span: Span, pieces: Mapping[chess.Square, chess.Piece]) -> bool:
    """Tell whether a stretch counts men of whom there are more or fewer."""
    string = beads_of(text, span)
    return any(miscounted(pieces, frozenset([each])) > 0 for each in counts(string))


def beads_of(text: str, span: Span) -> list[Bead]:
    """Return what stands in a stretch of a text, with the letters of its languages."""
    tongue = told_in(text, [span])[0]
    return beads(text, span, signs_in(text, span, letters_of(text), tongue), tongue)


def _unlikely(each: Ended, told: frozenset[Count]) -> int:
    """Return what speaks against a position as a whole."""
    return miscounted(each.pieces, told) + costs.PROMOTED * promoted(each.pieces)


def _left_out(string: Sequence[Bead], start: int, each: Ended) -> int:
    """Return what it costs that squares on which a telling puts nothing are named beside it.

    Before it those on its line, behind it those before any play or another king: another position may be told there.
    """
    squares = {square for square, _ in each.men}

    def other(bead: Bead) -> bool:
        return bead.does == "square" and not squares.intersection(bead.values)

    before = takewhile(_on_its_line, reversed(string[max(0, start - costs.AROUND) : start]))
    behind = takewhile(_before_play, string[each.end : each.end + costs.AROUND])
    return costs.SQUARE_LEFT * sum(map(other, chain(before, behind)))


def _on_its_line(bead: Bead) -> bool:
    return bead.does != "plays" and bead.text != "\n"


def _before_play(bead: Bead) -> bool:
    return bead.does != "plays" and not (bead.does == "man" and chess.KING in bead.values)


def letters_of(text: str) -> Mapping[str, chess.PieceType]:
    """Return the letters of the men in the languages of which a text has the names of the sides, the first known."""
    words = set(_WORD.findall(text.lower()))
    letters: dict[str, chess.PieceType] = {}
    for language in _LANGUAGES:
        if words & SIDES[language].keys():
            letters = LANGUAGES[language] | letters
    return letters or LANGUAGES["en"]


def _starts(string: Sequence[Bead]) -> Iterator[int]:
    """Yield the first words for a side or a man of each sentence and line behind which enough is told."""
    fresh = True
    for place, bead in enumerate(string):
        fresh = fresh or bead.does == "end" or bead.text == "\n"
        if not fresh or bead.does not in _OPENS:
            continue
        fresh = False
        if _may_tell(string[place : place + costs.NEAR]):
            yield place


def _may_tell(near: Sequence[Bead]) -> bool:
    """Tell whether two kings and squares enough are named before too much is played."""
    kings = squares = plays = 0
    for before, bead in pairwise((None, *near)):
        assert bead is not None
        one = bead.does == "number" and bead.values == (1,) and before is not None and before.does == "side"
        kings += one and kings > 0  # "the white king? On a5. And the black one?"
        kings += (1 + (bead.text in BOTH_KINGS)) * (bead.does == "man" and chess.KING in bead.values)
        squares += bead.does == "square" or bead.does in _LINES
        plays += bead.does == "plays"
        if plays > costs.MOST_PLAY:
            return False
        if kings > 1 and squares >= costs.FEWEST:
            return True
    return False


def _diagram(string: Sequence[Bead], told: Ended) -> Diagram:
    """Return what is told as a diagram; each man stands in the text where its square is named first."""
    places: dict[chess.Square, Span] = {}
    for bead in string:
        if bead.does == "square":
            for square in bead.values:
                for meant in (square, chess.square_mirror(square)) if bead.old else (square,):
                    places.setdefault(meant, bead.span)
    pieces = told.pieces
    spans = {square: places[square] for square in pieces if square in places}
    named = [*spans.values()]
    if len(spans) < len(pieces):  # told by ranks or files
        named += [bead.span for bead in string if bead.does in _LINES]
    start = _beginning(string, min(named))
    return Diagram(kind="list", span=Span(start, max(named)[1]), pieces=pieces, piece_spans=spans, told=True)


def _beginning(string: Sequence[Bead], square: Span) -> int:
    """Return where the telling begins whose first square is given: at its man, or at the word for the side before."""
    start, man = square.start, False
    for bead in reversed(string[: next(place for place, bead in enumerate(string) if bead.span == square)]):
        if bead.does == "man" and not man:
            start, man = bead.span.start, True
        elif bead.does in _WHOSE:
            start = bead.span.start
        elif bead.does != "word" or bead.text == "\n":
            break
    return start
