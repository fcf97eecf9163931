"""HTML and LaTeX as they are edited: where each part of what was read stands in the source, and what is written there.

An edit is told for the text that was read. It can be made in the source where all that it replaces stands there
without a tag or command of its own, which would be lost.
"""

from bisect import bisect_right
from html import escape
from itertools import pairwise

from keyproof.grammar.spans import Span
from keyproof.rules.finding import Edit

from .model import Manuscript, SourceKind

# LaTeX: The Program and Reference Manual, section 2.2.2 and C.3 (from memory): the signs that have a use of their own.
_LATEX = str.maketrans(
    {sign: f"\\{sign}" for sign in "#$%&_{}"}
    | {"\\": r"\textbackslash{}", "~": r"\textasciitilde{}", "^": r"\textasciicircum{}"}
)


class Source:
    """What was read of a manuscript that is text itself, beside its source."""

    def __init__(self, manuscript: Manuscript) -> None:
        assert manuscript.source is not None
        self.manuscript = manuscript
        self.kind = manuscript.source_kind
        self.text = manuscript.source
        self._stretches = manuscript.stretches
        self._by_source = sorted(self._stretches, key=lambda each: each.at)

    def span(self, span: Span) -> Span:
        """Return where a span of the text stands in the source."""
        return self.manuscript.in_file(span)

    def offset(self, at: int) -> int:
        """Return what an offset of the source is in the text; one in a tag or command is the end of what is before."""
        index = bisect_right(self._by_source, at, key=lambda each: each.at) - 1
        if index < 0:
            return 0
        found = self._by_source[index]
        if found.exact:
            return found.span.start + min(at - found.at, found.size)
        return found.span.start if at < found.at + found.size else found.span.end

    def edit(self, edit: Edit) -> Edit | None:
        """Return an edit of the text as one of the source, None where it would take a tag or command away."""
        if edit.span.start == edit.span.end:
            place = self._insertion(edit.span.start)
        else:
            place = self._replaced(edit.span)
        block = self._block(edit.span.start)
        if place is None or (block == "cell" and "\n" in edit.text):
            return None
        return Edit(place, _line(edit.text, self.kind, verbatim=block == "code"))

    def _block(self, offset: int) -> str | None:
        blocks = (each for each in self.manuscript.blocks if each.span.start <= offset <= each.span.end)
        block = next(blocks, None)
        return block.kind if block is not None else None

    def _insertion(self, offset: int) -> Span | None:
        index = bisect_right(self._stretches, offset, key=lambda each: each.span.start) - 1
        for each in (self._stretches[max(0, index - 1) : index + 1])[::-1]:
            if each.span.start <= offset <= each.span.end:
                if not each.exact and each.span.start < offset < each.span.end:
                    return None
                at = each.at + (offset - each.span.start if each.exact else each.size * (offset == each.span.end))
                return Span(at, at)
        return None

    def _replaced(self, span: Span) -> Span | None:
        index = bisect_right(self._stretches, span.start, key=lambda each: each.span.start) - 1
        covering = []
        for each in self._stretches[max(0, index) :]:
            if each.span.start >= span.end:
                break
            covering.append(each)
        if not covering or not (covering[0].span.start <= span.start and span.end <= covering[-1].span.end):
            return None
        for one, other in pairwise(covering):
            if one.span.end != other.span.start or one.at + one.size != other.at:
                return None
        first, last = covering[0], covering[-1]
        if not (first.exact or first.span.start == span.start) or not (last.exact or last.span.end == span.end):
            return None
        start = first.at + (span.start - first.span.start if first.exact else 0)
        end = last.at + (span.end - last.span.start if last.exact else last.size)
        return Span(start, end)


def paragraphs(words: str, kind: SourceKind) -> str:
    """Return words as paragraphs of a source: a blank line stands between two."""
    parts = [_line(part, kind) for part in words.strip().split("\n\n") if part.strip()]
    if kind == "html":
        return "".join(f"<p>{part}</p>\n" for part in parts)
    return "\n\n".join(parts) + "\n"


def _line(words: str, kind: SourceKind, *, verbatim: bool = False) -> str:
    """Return words as a source writes them; a line end is one for the reader, too."""
    if kind == "html":
        words = escape(words, quote=False)
        return words if verbatim else words.replace("\n", "<br>\n")
    return words if verbatim else words.translate(_LATEX).replace("\n", "\\\\\n")
