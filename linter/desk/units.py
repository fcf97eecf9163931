"""Offsets as the page counts them, in UTF-16 code units (ECMAScript), and as we do, in code points of what was read."""

import re
from bisect import bisect_left

from keyproof.grammar.spans import Span

from ..listen.filed import Filed

_WIDE = re.compile("[\U00010000-\U0010ffff]")


class Units:
    """Converts the offsets of one text. A text without characters beyond U+FFFF costs nothing."""

    def __init__(self, text: str) -> None:
        self._wide = [found.start() for found in _WIDE.finditer(text)]
        self._wide_units = [at + number for number, at in enumerate(self._wide)]
        self.length = len(text)

    def to_page(self, offset: int) -> int:
        """Return the offset in code units of one in code points."""
        return offset + bisect_left(self._wide, offset)

    def from_page(self, units: int) -> int:
        """Return the offset in code points of one in code units; one within a character is that character's."""
        before = bisect_left(self._wide_units, units)
        offset = units - before
        if before and self._wide_units[before - 1] == units - 1:
            offset = self._wide[before - 1]
        return max(0, min(offset, self.length))


class Spots:
    """Converts the places of a text that was read into those of the file that the page holds, and back."""

    def __init__(self, filed: Filed) -> None:
        self.filed = filed
        self._units = Units(filed.text)

    def span(self, span: Span) -> dict[str, int]:
        """Return a span of the text as the page has it."""
        return self.written(self.filed.span(span))

    def written(self, span: Span) -> dict[str, int]:
        """Return a span of the file as the page has it."""
        return {"from": self._units.to_page(span.start), "to": self._units.to_page(span.end)}

    def start(self, span: Span) -> int:
        """Return where a span of the text begins in the page."""
        return self.span(span)["from"]

    def offset(self, units: int) -> int:
        """Return an offset of the page as one of the text."""
        return self.filed.offset(self._units.from_page(units))
