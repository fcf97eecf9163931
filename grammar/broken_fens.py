"""FENs printed over several lines, broken where a line was full: behind a stroke, before one, or within a rank.

    1R6/3Bk3/8/8/3B1K2/6N1/
    8/NQ5n w - - 0 1

Only what makes eight ranks of eight squares, with a king on either side, is taken for one.
"""

import re
from collections.abc import Iterator, Sequence

import chess

from .document import Diagram
from .fens import find_fens
from .forsyth import squares_of
from .laid import NOTHING, Laid
from .spans import Span, lines_of

_RANKS = r"[A-Za-z1-8]{1,8}(?:/[A-Za-z1-8]{1,8}){0,7}"
_BEGINS = re.compile(rf"(?<![\w/.\\])(?P<ranks>{_RANKS}/?)(?P<hyphen>[-¬]?)[ \t]*$")
_GOES_ON = re.compile(rf"[ \t]*(?P<ranks>/?{_RANKS}/?)(?P<hyphen>[-¬]?)(?P<last>[ \t]*$)?(?![\w/])")
_FIELDS = re.compile(r"[ \t]*(?=[wb] (?:-|[KQkq]{1,4}) (?:-|[a-h][36])(?!\w))")
_MOST_LINES = 8


def find_broken(text: str) -> Iterator[Diagram]:
    """Yield every FEN of `text` that goes on from one line to the next, in order. Never raises."""
    if "/" not in text:
        return
    end = 0
    lines = lines_of(text).spans
    for index, line in enumerate(lines):
        if line.end <= end or "/" not in line.of(text):
            continue
        found = broken(text, lines[index : index + _MOST_LINES + 1])
        if found is not None:
            diagram, said = found
            shown = said.span(diagram.span)
            end = shown.end
            yield said.told(diagram, shown)


def broken(text: str, lines: Sequence[Span]) -> tuple[Diagram, Laid] | None:
    """Read a FEN that begins in the first of some lines, at its end, and goes on below.

    Return it as it stands in the parts laid together, with these; None where there is none.
    """
    first = _BEGINS.search(lines[0].of(text)) if lines else None
    if first is None:
        return None
    ranks = Span(*first.span("ranks")).further_on(lines[0].start)
    said = NOTHING.then(text, ranks)
    for below in lines[1:]:
        if _whole(said.text):
            fields = _FIELDS.match(below.of(text))
            return _read(said.then(text, Span(below.start + fields.end(), below.end), " ")) if fields else None
        following = _GOES_ON.match(below.of(text))
        if following is None:
            return None
        ranks = Span(*following.span("ranks")).further_on(below.start)
        said = said.then(text, ranks, "/" if _parted(said.text, ranks.of(text)) else "")
        if _whole(said.text):
            return _read(said.then(text, Span(ranks.end, below.end)))
        if following["last"] is None:
            return None
    return None


def _parted(before: str, after: str) -> bool:
    """Tell whether a rank ends where two parts meet without a stroke: each of its squares is there."""
    if before.endswith("/") or after.startswith("/"):
        return False
    return squares_of(before.rpartition("/")[2]) == 8 == squares_of(after.partition("/")[0])


def _whole(ranks: str) -> bool:
    return ranks.count("/") == 7 and all(squares_of(rank) == 8 for rank in ranks.split("/"))


def _read(said: Laid) -> tuple[Diagram, Laid] | None:
    diagram = next(find_fens(said.text), None)
    if diagram is None or diagram.faults or diagram.span.start > 0:
        return None
    kings = [piece.color for piece in diagram.pieces.values() if piece.piece_type == chess.KING]
    return (diagram, said) if sorted(kings) == [chess.BLACK, chess.WHITE] else None
