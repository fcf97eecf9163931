"""Places in the untouched text.

A span is two offsets in code points, counted from 0, end exclusive. Lines and
columns (from 1) are computed only when something is printed. A line ends at
LF, CR LF or a lone CR; no other character ends a line.
"""

import re
from bisect import bisect_right
from collections.abc import Callable, Iterable
from functools import cached_property, lru_cache, partial
from itertools import accumulate
from typing import NamedTuple

_LINE_END = re.compile(r"\r\n|\r|\n")


class Span(NamedTuple):
    """Offsets `start` and `end` (exclusive) in the untouched text, in code points."""

    start: int
    end: int

    def of(self, text: str) -> str:
        """Return the part of `text` this span covers."""
        return text[self.start : self.end]

    def further_on(self, by: int) -> "Span":
        """Return the span `by` characters further on."""
        return span_of((self.start + by, self.end + by))

    def overlaps(self, other: "Span") -> bool:
        """Tell whether the two have a sign in common."""
        return self.start < other.end and other.start < self.end

    def to(self, other: "Span") -> "Span":
        """Return the smallest span that covers both."""
        start, end = self
        first, last = other
        return span_of((start if start < first else first, end if end > last else last))

    def without(self, cuts: Iterable["Span"]) -> list["Span"]:
        """Return what is left of the span when `cuts`, given in order, are taken out of it."""
        left = []
        place = self.start
        for cut in cuts:
            if cut.start == cut.end:
                continue  # nothing is taken out
            if cut.start > place:
                left.append(Span(place, cut.start))
            place = max(place, cut.end)
        if place < self.end:
            left.append(Span(place, self.end))
        return left


span_of: Callable[[tuple[int, int]], Span] = partial(tuple.__new__, Span)
"""The span of two offsets; in half the time of `Span`, where very many are made."""


class Stretches:
    """Spans that are asked, again and again, whether a place is in one of them. They may overlap."""

    def __init__(self, spans: Iterable[Span]) -> None:
        ordered = sorted(spans)
        self._starts = [span.start for span in ordered]
        self._ends = list(accumulate((span.end for span in ordered), max))

    def hold(self, offset: int) -> bool:
        """Tell whether a place is in one of the spans."""
        index = bisect_right(self._starts, offset) - 1
        return index >= 0 and offset < self._ends[index]


class Lines:
    """Line and column of each offset of one text; `first` is the number of its first line in its file."""

    def __init__(self, text: str, first: int = 1) -> None:
        self.text = text
        self.first = first
        ends = [found.span() for found in _LINE_END.finditer(text)]
        self.starts = [0, *(after for _, after in ends)]
        self._ends = [*(before for before, _ in ends), len(text)]  # of the lines without their line ends

    def place(self, offset: int) -> tuple[int, int]:
        """Return (line, column), both from 1, of a code point offset."""
        line = bisect_right(self.starts, offset)
        return line + self.first - 1, offset - self.starts[line - 1] + 1

    def line_span(self, line: int) -> Span:
        """Return the span of a line (from `first`) without its line end."""
        line -= self.first - 1
        return span_of((self.starts[line - 1], self._ends[line - 1]))

    @cached_property
    def spans(self) -> list[Span]:
        """The spans of all lines without their line ends."""
        return [*map(span_of, zip(self.starts, self._ends, strict=True))]

    def utf16(self, offset: int) -> tuple[int, int]:
        """Return (line, column) as the Language Server Protocol counts: from 0, columns in UTF-16 units."""
        line = bisect_right(self.starts, offset) - 1
        return line, utf16_length(self.text[self.starts[line] : offset])

    def from_utf16(self, line: int, column: int) -> int:
        """Return the offset of a place given as `utf16` gives it; a place beyond a line or the text is its end."""
        if line >= len(self.starts):
            return len(self.text)
        start, end = self.line_span(line + 1)
        units = 0
        for offset in range(start, end):
            if units >= column:
                return offset
            units += utf16_length(self.text[offset])
        return end


@lru_cache(maxsize=4)
def lines_of(text: str) -> Lines:
    """Return the lines of a text; remembered, since each puzzle of a file asks for those of the whole file."""
    return Lines(text)


def utf16_length(text: str) -> int:
    """Return how many UTF-16 code units a text takes: two for each character beyond U+FFFF."""
    return len(text) + sum(sign > "\uffff" for sign in text)
