"""The marks by which an author lets a finding stand: "[sic]" at the end of a line."""

import re
from collections.abc import Iterable

from keyproof.grammar.spans import Span, lines_of
from msgspec import Struct

_SIC = re.compile(r"\[sic(?::\s*(?P<rule>[a-z-]+))?\][ \t]*$")
_ANY_SIC = re.compile(r"\[sic(?::\s*[a-z-]+)?\](?=[ \t]*(?:[\r\n]|\Z))")


def without_marks(masked: str) -> str:
    """Return a text with blanks for its [sic] marks, which are no words of its author."""
    if "[sic" not in masked:
        return masked
    return _ANY_SIC.sub(lambda mark: " " * len(mark[0]), masked)  # of a length, so that offsets stay


class Sic(Struct, frozen=True):
    """A mark at the end of a line: its findings (of one rule, where one is named) stand as they are."""

    span: Span
    line: int
    rule: str | None


def sic_marks(text: str, spans: Iterable[Span]) -> list[Sic]:
    """Return the [sic] marks that end the lines of some spans, in order."""
    lines = lines_of(text)
    found: dict[int, Sic] = {}
    for span in spans:
        first, last = lines.place(span.start)[0], lines.place(max(span.start, span.end - 1))[0]
        if text.find("[sic", lines.line_span(first).start, lines.line_span(last).end) < 0:
            continue
        for number in range(first, last + 1):
            line = lines.line_span(number)
            mark = _SIC.search(line.of(text))
            if mark is not None:
                found[number] = Sic(Span(line.start + mark.start(), line.end), number, mark["rule"])
    return [found[number] for number in sorted(found)]
