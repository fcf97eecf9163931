"""A manuscript as it is taken apart: pieces of text that know where they come from, in passages that have a place.

A reader of one kind of file makes passages; `assemble` makes one text of them. Whatever stands
behind the reader sees that text; the pieces lead from each offset back into the file.
"""

from bisect import bisect_right
from typing import Any, Literal

from keyproof.grammar.document import BlockKind, Document
from keyproof.grammar.spans import Lines, Span, lines_of
from msgspec import Struct, field

BETWEEN_CELLS = "    "
"""What stands between two cells of a row: a gap as wide as the grammar wants between columns of moves."""

SourceKind = Literal["html", "latex"]
"""The kinds of manuscripts that are text themselves, so that somebody may edit them as such."""

AUTHOR = "keyproof"
"""The author of the comments that keyproof writes, by which it knows them again."""


class Refused(Exception):
    """A manuscript that cannot or must not be read; the message says why and what to do."""

    def __init__(self, message: str, line: int = 1, column: int = 1) -> None:
        super().__init__(message)
        self.message = message
        self.line = line
        self.column = column


class Piece(Struct, frozen=True):
    """Some text from one node of a file.

    `node` is what the reader of this kind calls a node (None: the text stands nowhere, as the number of
    a list item). Where `exact`, character `i` of the text is the character `at + i` of the node; else the whole
    piece stands for the `size` characters of the node from `at` on.
    """

    text: str
    node: Any = None
    at: int = 0
    size: int = 0
    exact: bool = True


def exact(text: str, node: Any, at: int = 0) -> Piece:
    """Return a piece that is a part of a node as it stands."""
    return Piece(text, node, at, len(text))


class Passage(Struct):
    """A paragraph, heading, list item, table row or note.

    `places` say where a person finds it: from each offset in the passage on, "paragraph 14".
    `number` is that of an item in a numbered list, which the file does not hold as text. `anchors` are the edges
    of comments: an offset and a name. `figure`: a position that was found in a picture.
    """

    kind: BlockKind = "paragraph"
    level: int = 0
    pieces: list[Piece] = field(default_factory=list)
    places: list[tuple[int, str]] = field(default_factory=list)
    number: int | None = None
    anchors: list[tuple[int, str]] = field(default_factory=list)
    figure: bool = False
    size: int = 0

    @property
    def text(self) -> str:
        """The text of all pieces."""
        return "".join(piece.text for piece in self.pieces)

    def add(self, piece: Piece) -> None:
        """Add a piece at the end."""
        if piece.text:
            self.pieces.append(piece)
            self.size += len(piece.text)


class Comment(Struct, frozen=True):
    """A comment in a file. `names` are the anchors of its first and last edge, `answers` what was replied."""

    author: str
    text: str
    names: tuple[str, str]
    answers: tuple[str, ...] = ()
    resolved: bool = False


class Extract(Struct):
    """All that a reader got out of a file. `notes` say what was not read: the passage it belongs to, and the words."""

    passages: list[Passage] = field(default_factory=list)
    notes: list[tuple[int, str]] = field(default_factory=list)
    comments: list[Comment] = field(default_factory=list)

    def note(self, message: str) -> None:
        """Say what is not read, at the passage that comes next."""
        self.notes.append((len(self.passages), message))


class Accepted(Struct, frozen=True):
    """A finding that was answered in a comment: "sic", or by resolving it, which holds for the same message only."""

    span: Span
    rule: str | None
    message: str | None = None


class Stretch(Struct, frozen=True):
    """Text that stands in one place: `span` is `size` characters of a source from `at` on.

    Where it is `exact` each of its characters is one of the source, else it is written otherwise there.
    """

    span: Span
    at: int
    size: int
    exact: bool


class Manuscript(Document, frozen=True):
    """A document that was taken out of a manuscript.

    `named` are the places as a person finds them, each from an offset on. `passed_over` says what was not read.
    `source` is the text of a file that is text itself, as `source_kind` has it, and `stretches` are the parts of the
    text that stand there, in order.
    """

    named: tuple[tuple[int, str], ...] = ()
    passed_over: tuple[tuple[Span, str], ...] = ()
    accepted: tuple[Accepted, ...] = ()
    ours: tuple[Accepted, ...] = ()  # the comments of keyproof that stand open
    source: str | None = None
    source_kind: SourceKind = "html"
    stretches: tuple[Stretch, ...] = ()

    def place(self, offset: int) -> str | None:
        """Return where a person finds an offset of the text: "table 2, row 3"."""
        index = bisect_right(self.named, offset, key=lambda each: each[0]) - 1
        return self.named[max(index, 0)][1] if self.named else None

    @property
    def lines(self) -> Lines:
        """The lines in which places are counted: of the file if it is text, else of the text taken out of it."""
        return lines_of(self.text if self.source is None else self.source)

    def in_file(self, span: Span) -> Span:
        """Return a span of the text as one in the file if the file is text itself, else the span as it is."""
        if self.source is None:
            return span
        start = self._origin(span.start, at_end=False)
        end = start if span.start == span.end else self._origin(span.end, at_end=True)
        return Span(start, max(start, end))

    def _origin(self, offset: int, *, at_end: bool) -> int:
        """Return an offset of the text as one of the source; what stands nowhere there is at the end before it."""
        wanted = offset - 1 if at_end else offset
        index = bisect_right(self.stretches, wanted, key=lambda each: each.span.start) - 1
        if index < 0:
            return 0
        found = self.stretches[index]
        if found.exact:
            return found.at + min(offset - found.span.start, found.size)
        return found.at if wanted < found.span.end and not at_end else found.at + found.size
