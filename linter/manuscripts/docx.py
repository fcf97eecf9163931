"""Manuscripts in .docx (ECMA-376, Office Open XML): the text as it would stand with all tracked changes accepted."""

from collections.abc import Callable, Iterator

from keyproof.grammar.document import BlockKind
from msgspec import Struct, field

from .counting import Counter, add_figure, join_row
from .docx_parts import comments_of, headings_of, numbers_of, relations_of
from .model import Extract, Passage, Piece, Refused, exact
from .package import Element, Package, child, local, path_to, value
from .pictures import fen_of

_INSIDE = frozenset(
    [
        "ins",
        "moveTo",
        "hyperlink",
        "smartTag",
        "sdt",
        "sdtContent",
        "fldSimple",
        "customXml",
        "dir",
        "bdo",
        "oMath",
        "oMathPara",
    ]
)
_PASSED_OVER = frozenset(
    ("del", "moveFrom", "rPr", "pPr", "sdtPr", "sdtEndPr", "instrText", "delText", "tblPr", "tcPr")
)
_SIGNS = {"tab": "\t", "br": "\n", "cr": "\n", "noBreakHyphen": "-", "ptab": "\t"}


class Body(Struct):
    """The XML of one part of the file that holds text, and how it came to be read."""

    name: str
    root: Element


class Node(Struct, frozen=True):
    """Where a piece of text stands: the `w:t` and, where no comment may stand beside it, the run that hosts it."""

    element: Element
    part: str
    host: Element | None = None


class Docx(Struct):
    """A .docx taken apart: what it says, and the parts in which that stands."""

    package: Package
    main: str
    bodies: dict[str, Body] = field(default_factory=dict)
    extract: Extract = field(default_factory=Extract)


def read(data: bytes) -> Docx:
    """Take a file apart. Raises Refused."""
    package = Package(data)
    if any(name.lower().endswith("vbaproject.bin") for name in package.names):
        raise Refused("it carries macros: save it without them, as .docx")
    found = relations_of(package, "")
    main = next((each.target for each in found.values() if each.kind == "officeDocument"), None)
    if main is None or main not in package.names:
        raise Refused("it is broken: no document is in it")
    docx = Docx(package, main)
    _Reader(docx).run()
    return docx


class _Reader:
    def __init__(self, docx: Docx) -> None:
        self.docx = docx
        self.package = docx.package
        self.extract = docx.extract
        self.counter = Counter()
        self.relations = relations_of(self.package, docx.main)
        self.headings = headings_of(self.package, self._part("styles"))
        self.numbers = numbers_of(self.package, self._part("numbering"))
        self.notes: dict[str, dict[str, Element]] = {}
        self.edges: set[str] = set()  # of comments
        self.joined: Passage | None = None  # a passage whose end mark was deleted: the next one goes on in it

    def _part(self, kind: str) -> str | None:
        return next((each.target for each in self.relations.values() if each.kind == kind), None)

    def run(self) -> None:
        root = self.package.xml(self.docx.main)
        self.docx.bodies[self.docx.main] = Body(self.docx.main, root)
        body = child(root, "body")
        if body is None:
            raise Refused("it is broken: the document has no body")
        for kind in ("footnotes", "endnotes"):
            name = self._part(kind)
            if name is not None and name in self.package.names:
                notes = self.package.xml(name)
                self.docx.bodies[name] = Body(name, notes)
                self.notes[kind[:-1]] = {value(note, "id") or "": note for note in notes}
        self._blocks(body, self.docx.main, None, None)
        self.extract.comments += comments_of(self.package, self._part("comments"), self._part("commentsExtended"))

    # -- blocks

    def _blocks(self, element: Element, part: str, place: str | None, host: Element | None) -> None:
        """Read paragraphs and tables. `place` is that of a note or box they stand in."""
        for each in element:
            name = local(each)
            if name == "p":
                self._paragraph(each, part, place, host)
            elif name == "tbl":
                self._table(each, part, host)
            elif name in _INSIDE:
                self._blocks(each, part, place, host)
            elif name in ("altChunk", "subDoc"):
                self.extract.note("a part that is taken in from another file is not read")

    def _paragraph(self, element: Element, part: str, place: str | None, host: Element | None) -> None:
        passage = self.joined or Passage()
        self.joined = None
        line = _Line(self, passage, part, host)
        line.take(element)
        properties = child(element, "pPr")
        if path_to(properties, "rPr", "del") is not None:
            self.joined = passage
            return
        passage.kind, passage.level = self._kind(properties)
        number = self.numbers.count(properties, value(child(properties, "pStyle")))
        if passage.text.strip():
            passage.number = number
            if number is not None and passage.kind == "paragraph":
                passage.kind = "item"
            passage.places.insert(0, (0, place or self.counter.next("paragraph")))
        if passage.size:
            self.extract.passages.append(passage)
        line.finish()

    def _kind(self, properties: Element | None) -> tuple[BlockKind, int]:
        style = value(child(properties, "pStyle"))
        outline = value(child(properties, "outlineLvl"))
        level = int(outline) + 1 if outline and outline.isdecimal() else self.headings.get(style or "", 0)
        if 1 <= level <= 9:
            return "heading", level
        return ("item" if child(properties, "numPr") is not None else "paragraph"), 0

    def _table(self, element: Element, part: str, host: Element | None) -> None:
        table = self.counter.next("table")
        for number, row in enumerate((each for each in _through(element) if local(each) == "tr"), 1):
            if path_to(row, "trPr", "del") is not None:
                continue
            self._row([each for each in _through(row) if local(each) == "tc"], part, f"{table}, row {number}", host)

    def _row(self, cells: list[Element], part: str, place: str, host: Element | None) -> None:
        edges = []
        for number, cell in enumerate(cells, 1):
            edges.append(len(self.extract.passages))
            self._blocks(cell, part, f"{place}, column {number}" if len(cells) > 1 else place, host)
        join_row(self.extract, edges)

    # -- what a line calls up

    def note(self, kind: str, number: str, host: Element) -> None:
        """Read a footnote or an endnote behind the passage that refers to it."""
        found = self.notes.get(kind, {}).get(number)
        part = self._part(f"{kind}s")
        if found is not None and part is not None:
            self._blocks(found, part, self.counter.next(kind), host)

    def drawing(self, element: Element, part: str, host: Element) -> None:
        """Read the pictures and text boxes of a drawing behind the passage it stands in."""
        title = next((said for each in element.iter() if local(each) == "docPr" and (said := _title(each))), "")
        for each in element.iter():
            if local(each) in ("blip", "imagedata", "svgBlip"):
                key = value(each, "embed") or (value(each, "id") if local(each) == "imagedata" else None)
                if local(each) == "svgBlip":
                    continue  # the same picture once more
                self._picture(key, each, title)
        for box in _boxes(element):
            self._blocks(box, part, self.counter.next("text box"), host)

    def _picture(self, key: str | None, element: Element, title: str) -> None:
        other = next((each for each in element.iter() if local(each) == "svgBlip"), None)
        data = b""
        outside = key is None and value(element, "link") is not None
        for name in (key, value(other, "embed")):
            relation = self.relations.get(name or "")
            if relation is None or relation.outside:
                outside = outside or relation is not None
                continue
            data = self.package.start_of(relation.target) if not data or fen_of(data) is None else data
        add_figure(self.extract, self.counter, data, title, outside=outside and not data)


def _boxes(element: Element) -> Iterator[Element]:
    """Yield the outermost text boxes in an element."""
    for each in element:
        if local(each) == "txbxContent":
            yield each
        else:
            yield from _boxes(each)


def _title(element: Element) -> str:
    return value(element, "descr") or value(element, "title") or ""


def _through(element: Element) -> Iterator[Element]:
    """Yield the children of an element, and those of what merely wraps some of them."""
    for each in element:
        if local(each) in _INSIDE:
            yield from _through(each)
        elif local(each) not in _PASSED_OVER:
            yield each


class _Line:
    """The text of one passage, and what stands behind it: notes, pictures, boxes."""

    def __init__(self, reader: _Reader, passage: Passage, part: str, host: Element | None) -> None:
        self.reader, self.passage, self.part, self.host = reader, passage, part, host
        self.later: list[tuple[str, Element, Element]] = []

    def take(self, element: Element) -> None:
        """Read all that stands in one element."""
        for each in element:
            name = local(each)
            if name == "r":
                self._run(each)
            elif name == "AlternateContent":
                self._chosen(each, self.take)
            elif name in ("commentRangeStart", "commentRangeEnd"):
                self._edge("start" if name.endswith("Start") else "end", each)
            elif name in _INSIDE:
                self.take(each)

    def _run(self, run: Element) -> None:
        hidden = path_to(run, "rPr", "vanish")
        if hidden is not None and value(hidden) not in ("0", "false", "off"):
            return
        self._parts(run, run)

    def _parts(self, element: Element, run: Element) -> None:
        for each in element:
            name = local(each)
            if name == "t":
                self.passage.add(exact(each.text or "", Node(each, self.part, self.host)))
            elif name in _SIGNS:
                page = value(each, "type") in ("page", "column")
                sign = " " if page else _SIGNS[name]
                self.passage.add(Piece(sign, Node(each, self.part, self.host), 0, 1, exact=False))
            elif name == "sym":
                self._symbol(each)
            elif name == "AlternateContent":
                self._chosen(each, lambda chosen: self._parts(chosen, run))
            elif name == "commentReference":  # of a comment without a range it is the place
                self._edge("start", each)
                self._edge("end", each)
            elif name in ("footnoteReference", "endnoteReference", "drawing", "pict", "object"):
                self.later.append((name, each, run))

    def _edge(self, edge: str, element: Element) -> None:
        name = f"{edge} {value(element, 'id')}"
        if name not in self.reader.edges:
            self.reader.edges.add(name)
            self.passage.anchors.append((self.passage.size, name))

    def _chosen(self, element: Element, take: Callable[[Element], None]) -> None:
        """Read one of the forms in which the same thing is given."""
        chosen = child(element, "Choice")
        if chosen is None:
            chosen = child(element, "Fallback")
        if chosen is not None:
            take(chosen)

    def _symbol(self, element: Element) -> None:
        code = value(element, "char") or ""
        try:
            sign = chr(int(code, 16))
        except (ValueError, OverflowError):
            return
        self.passage.add(Piece(sign, Node(element, self.part, self.host), 0, 1, exact=False))

    def finish(self) -> None:
        """Read what the line calls up."""
        for name, element, run in self.later:
            if name.endswith("Reference"):
                self.reader.note(name.removesuffix("Reference"), value(element, "id") or "", self.host or run)
            else:
                self.reader.drawing(element, self.part, run if self.host is None else self.host)
