"""Manuscripts in .odt (OpenDocument 1.3): the text as it would stand with all tracked changes accepted."""

import re
from collections.abc import Iterator
from typing import Literal

from msgspec import Struct, field

from .counting import Counter, add_figure, join_row
from .flow import Flow
from .model import Comment, Extract, Passage, Refused
from .odt_parts import Lists, headings_of, lists_of
from .package import Element, Package, child, local, path_to, value
from .pictures import fen_of

_BLANKS = re.compile(r"[ \t\r\n]+")
_LEFT_OUT = frozenset(
    [
        "tracked-changes",
        "forms",
        "sequence-decls",
        "variable-decls",
        "user-field-decls",
        "dde-connection-decls",
        "table-of-",
        "content",
        "alphabetical-index",
        "illustration-index",
        "table-index",
        "object-index",
        "user-index",
        "bibliography",
        "ruby-text",
        "note-citation",
        "event-listeners",
        "desc",
        "title",
        "annotation",
        "shapes",
    ]
)
_WRAPS = frozenset(("section", "index-body", "table-header-rows", "table-rows", "table-row-group"))
MOST_REPEATS = 1_000  # of a row, a cell or a blank that the file counts instead of holding it


class Node(Struct, frozen=True):
    """Where a piece of text stands: the text inside an element, or behind it, or (`sign`) the element itself."""

    element: Element
    side: Literal["text", "tail", "sign"]
    host: Element | None = None  # the text box that comments cannot stand in


class Odt(Struct):
    """An .odt taken apart."""

    package: Package
    content: Element
    extract: Extract = field(default_factory=Extract)


def read(data: bytes) -> Odt:
    """Take a file apart. Raises Refused."""
    package = Package(data)
    if any(name.startswith(("Basic/", "Scripts/")) and not name.endswith("/") for name in package.names):
        raise Refused("it carries macros: save it without them")
    if "META-INF/manifest.xml" in package.names and b"encryption-data" in package.read("META-INF/manifest.xml"):
        raise Refused("it is encrypted: save it without a password")
    if "content.xml" not in package.names:
        raise Refused("it is broken: no document is in it")
    odt = Odt(package, package.xml("content.xml"))
    _Reader(odt).run()
    return odt


class _Reader:
    def __init__(self, odt: Odt) -> None:
        self.odt = odt
        self.extract = odt.extract
        self.counter = Counter()
        styles = odt.package.xml("styles.xml") if "styles.xml" in odt.package.names else None
        self.headings = headings_of(odt.content, styles)
        self.lists: Lists = lists_of(odt.content, styles)

    def run(self) -> None:
        body = path_to(self.odt.content, "body", "text")
        if body is None:
            raise Refused("it holds no text document")
        self.blocks(body, None, None)

    # -- blocks

    def blocks(self, element: Element, place: str | None, host: Element | None) -> None:
        """Read paragraphs, lists and tables. `place` is that of a note or box they stand in."""
        for each in element:
            name = local(each)
            if name in ("p", "h"):
                self._paragraph(each, place, host, "paragraph", None)
            elif name == "list":
                self._list(each, place, host, 0)
            elif name == "table":
                self._table(each, host)
            elif name in _WRAPS:
                self.blocks(each, place, host)
            elif name == "frame":
                self.frame(each, host)

    def _list(self, element: Element, place: str | None, host: Element | None, level: int) -> None:
        self.lists.enter(element, level)
        for item in element:
            if local(item) not in ("list-item", "list-header"):
                continue
            number = self.lists.count(item, level) if local(item) == "list-item" else None
            for each in item:
                if local(each) == "list":
                    self._list(each, place, host, level + 1)
                elif local(each) in ("p", "h"):
                    self._paragraph(each, place, host, "item", number)
                    number = None
        self.lists.leave(level)

    def _paragraph(
        self, element: Element, place: str | None, host: Element | None, kind: str, number: int | None
    ) -> None:
        passage = Passage("item" if kind == "item" else "paragraph")
        level = value(element, "outline-level") if local(element) == "h" else None
        depth = int(level) if level and level.isdecimal() else self.headings.get(value(element, "style-name") or "", 0)
        if local(element) == "h" or depth:
            passage.kind, passage.level = "heading", depth or 1
        line = _Line(self, passage, host)
        line.take(element)
        if passage.text.strip():
            passage.number = number
            passage.places.insert(0, (0, place or self.counter.next("paragraph")))
        if passage.size:
            self.extract.passages.append(passage)
        line.finish()

    def _table(self, element: Element, host: Element | None) -> None:
        table = self.counter.next("table")
        for number, row in enumerate(_rows(element), 1):
            edges = []
            cells = [each for each in row if local(each) in ("table-cell", "covered-table-cell")]
            for column, cell in enumerate(cells, 1):
                name = f"{table}, row {number}" + (f", column {column}" if len(cells) > 1 else "")
                edges.append(len(self.extract.passages))
                self.blocks(cell, name, host)
            join_row(self.extract, edges)

    # -- what a line calls up

    def frame(self, element: Element, host: Element | None) -> None:
        """Read a text box, or the picture, of a frame."""
        box = child(element, "text-box")
        if box is not None:
            self.blocks(box, self.counter.next("text box"), element if host is None else host)
            return
        title = next((each.text or "" for name in ("desc", "title") if (each := child(element, name)) is not None), "")
        pictures = [each for each in element if local(each) in ("image", "object", "object-ole", "plugin")]
        if not pictures:
            return
        data, outside = b"", False
        for picture in pictures:
            target = (value(picture, "href") or "").removeprefix("./")
            if target not in self.odt.package.names:
                outside = outside or bool(target)
            elif not data or fen_of(data) is None:
                data = self.odt.package.start_of(target)
        add_figure(self.extract, self.counter, data, title, outside=outside and not data)

    def note(self, element: Element) -> None:
        """Read a footnote or an endnote behind the passage that refers to it."""
        body = child(element, "note-body")
        if body is not None:
            kind = "endnote" if value(element, "note-class") == "endnote" else "footnote"
            self.blocks(body, self.counter.next(kind), None)

    def comment(self, element: Element) -> None:
        """Take in a comment, and what was answered."""
        words = [_flat(each) for each in element if local(each) in ("p", "list")]
        creator = child(element, "creator")
        key = value(element, "name") or f"at {id(element)}"
        resolved = value(element, "resolved") in ("true", "1")
        author = "" if creator is None else _flat(creator)
        self.extract.comments.append(
            Comment(author, "\n".join(words), (f"start {key}", f"end {key}"), resolved=resolved)
        )


def _flat(element: Element) -> str:
    return _BLANKS.sub(" ", "".join(element.itertext())).strip()


def _rows(element: Element) -> Iterator[Element]:
    for each in element:
        if local(each) == "table-row":
            yield each
        elif local(each) in _WRAPS:
            yield from _rows(each)


class _Line:
    """The text of one passage, and what stands behind it: notes, pictures, boxes."""

    def __init__(self, reader: _Reader, passage: Passage, host: Element | None) -> None:
        self.reader, self.passage, self.host = reader, passage, host
        self.flow = Flow(passage)
        self.later: list[Element] = []

    def take(self, element: Element) -> None:
        """Read all that stands in one element."""
        self.flow.words(element.text or "", Node(element, "text", self.host))
        for each in element:
            self._part(each)
            self.flow.words(each.tail or "", Node(each, "tail", self.host))

    def _part(self, each: Element) -> None:
        name = local(each)
        if name == "s":
            said = value(each, "c") or "1"
            self._sign(" " * (min(int(said), MOST_REPEATS) if said.isdecimal() else 1), each)
        elif name == "tab":
            self._sign("\t", each)
        elif name == "line-break":
            self._sign("\n", each)
        elif name in ("note", "frame"):
            self.later.append(each)
        elif name == "annotation":
            self.reader.comment(each)
            key = value(each, "name") or f"at {id(each)}"
            self.passage.anchors.append((self.passage.size, f"start {key}"))
            if value(each, "name") is None:
                self.passage.anchors.append((self.passage.size, f"end {key}"))
        elif name == "annotation-end":
            self.passage.anchors.append((self.passage.size, f"end {value(each, 'name')}"))
        elif name and name not in _LEFT_OUT:
            self.take(each)

    def _sign(self, sign: str, element: Element) -> None:
        self.flow.sign(sign, Node(element, "sign", self.host))

    def finish(self) -> None:
        """Read what the line calls up."""
        for element in self.later:
            if local(element) == "note":
                self.reader.note(element)
            else:
                self.reader.frame(element, self.host)
