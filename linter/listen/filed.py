"""Where the places of a checked text stand in its file, which is what somebody edits.

They are the same but for HTML and LaTeX, where the file is the source of what was read.
"""

from functools import cached_property

from keyproof.grammar.document import Document
from keyproof.grammar.spans import Lines, Span, lines_of
from keyproof.rules.finding import Edit
from msgspec import Struct

from ..manuscripts.model import Manuscript
from ..manuscripts.source import Source
from .words import word


class Filed(Struct, frozen=True, dict=True):
    """A document as its file has it."""

    document: Document

    @cached_property
    def _source(self) -> Source | None:
        document = self.document
        return Source(document) if isinstance(document, Manuscript) and document.source is not None else None

    @property
    def text(self) -> str:
        """The text of the file."""
        return self.document.text if self._source is None else self._source.text

    @property
    def lines(self) -> Lines:
        """The lines of the file."""
        return lines_of(self.text)

    def span(self, span: Span) -> Span:
        """Return where a span of the document stands in the file."""
        return span if self._source is None else self._source.span(span)

    def line(self, offset: int) -> int:
        """Return the line of the file that an offset of the document stands in."""
        return self.lines.place(self.span(Span(offset, offset)).start)[0]

    def where(self, offset: int) -> str:
        """Return the name of that line, as a person counts it who has the file before them."""
        return word("line", line=self.line(offset))

    def offset(self, at: int) -> int:
        """Return what an offset of the file is in the document."""
        return at if self._source is None else self._source.offset(at)

    def edits(self, edits: tuple[Edit, ...]) -> tuple[Edit, ...]:
        """Return edits of the document as those of the file; none where one of them cannot be made there."""
        if self._source is None:
            return edits
        found = [self._source.edit(edit) for edit in edits]
        made = tuple(edit for edit in found if edit is not None)
        return made if len(made) == len(found) else ()
