"""Lines of a text that may begin something, so that a text which is being written is not searched whole for each key.

What a line says by itself is remembered of it. Something that reaches beyond its line is tried only from the lines on
which it may begin.
"""

import re
from collections.abc import Callable, Iterator
from functools import cached_property, lru_cache
from itertools import count, pairwise

from .remembering import LONGEST
from .spans import lines_of

SHORT = 10_000
"""Characters of a text that is as soon searched whole."""

_MOST = 1 << 15  # lines
_NUMBERS = count()


class LinesThat:
    """The lines of a text of which `may` is true: it is asked about a line with its end, and of no two lines alike."""

    def __init__(self, may: Callable[[str], object]) -> None:
        self._may = may
        self._not = 1 << next(_NUMBERS)

    def numbers(self, text: str) -> Iterator[int]:
        """Yield the numbers of those lines, from 0."""
        for number, (line, known) in enumerate(_lines(text)):
            if known[0] & self._not:
                continue
            if self._may(line):
                yield number
            else:
                known[0] |= self._not


class InLines:
    """A pattern that matches within a line and looks at no sign beyond it but its end.

    `whole`, if given, is one whose matches all begin with those of the pattern, and may go on for lines.
    """

    def __init__(self, pattern: Callable[[], re.Pattern[str]], whole: Callable[[], re.Pattern[str]] | None = None):
        self._make, self._make_whole = pattern, whole

    @cached_property
    def _pattern(self) -> re.Pattern[str]:
        return self._make()

    @cached_property
    def _whole(self) -> re.Pattern[str] | None:
        return None if self._make_whole is None else self._make_whole()

    @cached_property
    def _lines(self) -> LinesThat:
        return LinesThat(self._pattern.search)

    def finditer(self, text: str) -> Iterator[re.Match[str]]:
        """Yield the matches in `text`, as the method of a pattern does."""
        if len(text) < SHORT:
            yield from (self._whole or self._pattern).finditer(text)
        else:
            yield from self._by_line(text)

    def _by_line(self, text: str) -> Iterator[re.Match[str]]:
        starts, end = lines_of(text).starts, 0
        for number in self._lines.numbers(text):
            beyond = starts[number + 1] if number + 1 < len(starts) else len(text)
            for begins in self._pattern.finditer(text, starts[number], beyond):
                match = begins if self._whole is None else self._whole.match(text, begins.start())
                if match is not None and begins.start() >= end:
                    yield match
                    end = match.end()

    def search(self, text: str) -> re.Match[str] | None:
        """Return the first match in `text`, as the method of a pattern does."""
        return next(self.finditer(text), None)


@lru_cache(maxsize=4)  # a file as it stands, and without its markup
def _lines(text: str) -> list[tuple[str, list[int]]]:
    """Return the lines of a text with their ends, each with the bits of what it is known not to be."""
    lines = [text[start:end] for start, end in pairwise([*lines_of(text).starts, len(text)])]
    return [(line, _known(line) if len(line) <= LONGEST else [0]) for line in lines]


@lru_cache(maxsize=_MOST)
def _known(line: str) -> list[int]:
    del line
    return [0]
