"""The units that the text of a file is dealt out to its positions by: lines and paragraphs, each taken whole."""

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise, zip_longest

from keyproof.grammar.labels import turns
from keyproof.grammar.remembering import remembered_of_block
from keyproof.grammar.spans import Span
from keyproof.grammar.titles import STIPULATION
from keyproof.grammar.traces import PRINTED_MOVE
from keyproof.grammar.words import SPOKEN_SQUARE
from msgspec import Struct, field

_BEFORE = 2  # characters before a block that a pattern may look back to
_UNSTOPPED = 10  # lines of a stretch without a stop at any of their ends

_SENTENCE_ENDS = re.compile(
    r"(?<=[.!?:;#)\]»\"”])[ \t]*(?:\r\n|\r|\n)+(?=\s*\S)|(?:\r\n|\r|\n)(?=[ \t]*\d{1,4}[.:)][ \t])"
)


class Unit(Struct):
    """A stretch of prose that is dealt out whole. `before` says what stands between it and the one before."""

    span: Span
    owner: int | None  # by the layout: the index of a puzzle
    before: str = "line"
    above: Span | None = None  # the heading right over it
    name: int | None = None  # the puzzle that a number or title over it names
    mentioned: int | None = None  # the puzzle that it names on its way
    opens: bool = False  # with that name
    after_mention: bool = False  # it goes on behind such a sentence
    plays: bool = False
    alone: bool = False  # no other line of its block stands beside it
    costs: dict[int | None, int] = field(default_factory=dict)
    entry: dict[int | None, int] = field(default_factory=dict)  # paid where the unit before has another diagram


def asks(unit: Unit, text: str) -> bool:
    """Tell whether a unit asks for something and plays nothing: it stays with the position that it stands by.

    What begins on the line of a position may be asked of that one and lead to the next.
    """
    words = unit.span.of(text)
    if text[text.rfind("\n", 0, unit.span.start) + 1 : unit.span.start].strip():
        return False
    return (
        STIPULATION.search(words) is not None and PRINTED_MOVE.search(words) is None and not SPOKEN_SQUARE.search(words)
    )


def told_alone(units: list[Unit]) -> list[Unit]:
    """Mark the units that are whole blocks; return all of them."""
    for unit, below in zip_longest(units, units[1:]):
        unit.alone = unit.before != "line" and (below is None or below.before != "line")
    return units


def cut(text: str, span: Span) -> Iterator[Span]:
    """Cut a block at the lines that end with a sentence, and before those that begin with a number."""
    lead = max(0, span.start - _BEFORE)
    for part in _cut(text[lead : span.end], span.start - lead):
        yield part.further_on(lead)


@remembered_of_block
def _cut(text: str, start: int) -> tuple[Span, ...]:
    return tuple(_parts(text, start))


def _parts(text: str, start: int) -> Iterator[Span]:
    """Yield the units of what stands in `text` from `start` on."""
    place = start
    for end in _SENTENCE_ENDS.finditer(text, start):
        if text[place : end.start()].strip():
            yield from _spoken_lines(text, place, end.start())
        place = end.end()
    if text[place:].strip():
        yield from _spoken_lines(text, place, len(text))


def _spoken_lines(text: str, start: int, end: int) -> Iterator[Span]:
    """Yield a stretch whole, but for where it turns to another position.

    Or its lines, where so many end without a sentence that nobody has set the stops.
    """
    if text.count("\n", start, end) < _UNSTOPPED:
        places = [start, *turns(text, Span(start, end)), end]
        for place, after in pairwise(places):
            if text[place:after].strip():
                yield _trimmed(text, place, after)
        return
    for line in re.finditer(r"[^\n]+", text[start:end]):
        if line[0].strip():
            yield _trimmed(text, start + line.start(), start + line.end())


def _trimmed(text: str, start: int, end: int) -> Span:
    words = text[start:end]
    return Span(start + len(words) - len(words.lstrip()), start + len(words.rstrip()))


def on_the_line_of(text: str, place: int, span: Span) -> bool:
    """Tell whether a stretch begins on the line of `place` with words, not with what rules off that line."""
    begins, _, further = span.of(text).partition("\n")
    return "\n" not in text[place : span.start] and (not further or re.search(r"\w", begins) is not None)


def joined(spans: Iterable[Span], text: str) -> tuple[Span, ...]:
    """Put the lines of one block together again."""
    found: list[Span] = []
    for span in sorted(spans):
        if found and not text[found[-1].end : span.start].strip() and text.count("\n", found[-1].end, span.start) < 2:
            found[-1] = found[-1].to(span)
        else:
            found.append(span)
    return tuple(found)


def around(shown: Sequence[Span], others: Iterable[Span], text: str) -> Span:
    """Return the span of the diagrams with the text that is joined to them."""
    whole = min(shown).to(max(shown, key=lambda span: span.end))
    for span in sorted(others, key=lambda each: abs(each.start - whole.start)):
        gap = text[whole.end : span.start] if span.start >= whole.end else text[span.end : whole.start]
        if not gap.strip():
            whole = whole.to(span)
    return whole
