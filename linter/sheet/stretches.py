"""A file cut into stretches of whole lines, in order: each belongs to one puzzle or to none, and none is left out."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from keyproof.grammar.spans import Lines, Span
from msgspec import Struct

from ..results import FileResult


class Stretch(Struct, frozen=True):
    """Lines that follow one another and belong to the puzzle with this index in `FileResult.puzzles`, or to none.

    `opens`: it is the first of its puzzle, so the diagram belongs here. `plays`: the solution begins in it.
    A puzzle without lines of its own (a twin) has an empty stretch behind the one it shares.
    """

    span: Span
    puzzle: int | None
    opens: bool = False
    plays: bool = False


def stretches(result: FileResult) -> list[Stretch]:
    """Cut the text of a file."""
    lines = Lines(result.text)
    owners = _owners(result, lines)
    runs = list(_runs(lines, owners))
    homes = {owner: span for span, owner in reversed(runs) if owner is not None}
    found: list[Stretch] = []
    for span, owner in runs:
        found.append(_stretch(result, span, owner, opens=owner is not None and homes[owner] == span))
        for index, puzzle in enumerate(result.puzzles):
            if index not in homes and span.start <= puzzle.start < span.end:
                found.append(Stretch(Span(span.end, span.end), index, opens=True, plays=True))
                homes[index] = span
    end = Span(len(result.text), len(result.text))
    homeless = (index for index in range(len(result.puzzles)) if index not in homes)
    return [*found, *(Stretch(end, index, opens=True, plays=True) for index in homeless)]


def _stretch(result: FileResult, span: Span, owner: int | None, *, opens: bool) -> Stretch:
    if owner is None:
        return Stretch(span, None)
    moves = result.puzzles[owner].moves
    first = moves[0].span.start if moves else None
    plays = opens if first is None else span.start <= first < span.end
    return Stretch(span, owner, opens, plays)


def _owners(result: FileResult, lines: Lines) -> list[int | None]:
    """Return the puzzle each line belongs to; blank lines go with what stands above, others with what is around."""
    owners: list[int | None] = [None] * len(lines.starts)
    for index, puzzle in enumerate(result.puzzles):
        for part in puzzle.parts:
            first, last = (lines.place(offset)[0] - 1 for offset in (part.start, max(part.start, part.end - 1)))
            for number in range(first, last + 1):
                if owners[number] is None:
                    owners[number] = index
    for number, span in enumerate(lines.spans):
        if number and owners[number] is None and not span.of(result.text).strip():
            owners[number] = owners[number - 1]
    known = [number for number, owner in enumerate(owners) if owner is not None]
    for above, below in pairwise(known):
        if owners[above] == owners[below]:  # the time of a cue, a line between a diagram and its solution
            owners[above:below] = [owners[above]] * (below - above)
    return owners


def _runs(lines: Lines, owners: Sequence[int | None]) -> Iterator[tuple[Span, int | None]]:
    start = 0
    for number in range(1, len(owners) + 1):
        if number == len(owners) or owners[number] != owners[number - 1]:
            end = lines.starts[number] if number < len(owners) else len(lines.text)
            yield Span(start, end), owners[number - 1]
            start = end
