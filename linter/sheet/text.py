"""The author's text with every finding marked where it stands."""

from collections.abc import Sequence
from itertools import pairwise

from keyproof.grammar.spans import Span
from keyproof.rules.finding import Finding

from .markup import Markup, join, tag


def marked(text: str, span: Span, findings: Sequence[tuple[int, Finding]]) -> Markup:
    """Return the text of `span`, findings underlined and followed by their numbers, which lead to their notes.

    `findings` come with the numbers they have on the page. One that stands elsewhere in the file is not shown here.
    """
    inside = [(number, found, _within(found.span, span)) for number, found in findings]
    here = [(number, found, place) for number, found, place in inside if place is not None]
    cuts = sorted({span.start, span.end, *(at for _, _, place in here for at in place)})
    parts: list[Markup] = []
    for start, end in pairwise([*cuts, span.end]):
        parts.extend(_number(number, found) for number, found, place in here if place.end == start)
        covering = [found for _, found, place in here if place.start <= start and end <= place.end]
        parts.append(_piece(text[start:end], covering))
    return tag("div", *parts, class_="author")


def _within(place: Span, span: Span) -> Span | None:
    start, end = max(place.start, span.start), min(place.end, span.end)
    return Span(start, end) if start < end or (start == end == place.end and place.start == place.end) else None


def _piece(words: str, covering: Sequence[Finding]) -> Markup:
    words = words.replace("\r\n", "\n").replace("\r", "\n")
    if not covering or not words:
        return join(words)
    return tag("mark", words, class_=max(found.level for found in covering).name)


def _number(number: int, found: Finding) -> Markup:
    label = f"{found.level.name} {number}: {found.message}"
    return tag("a", str(number), href=f"#note{number}", id=f"place{number}", class_="number", aria_label=label)
