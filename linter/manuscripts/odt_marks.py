"""Annotations and tracked changes in an .odt (OpenDocument 1.3, 5.5 and 14.1).

Everything is put in from the last place to the first, so that the places before it stay.
"""

from itertools import pairwise
from typing import Literal, NamedTuple

from keyproof.grammar.spans import Span
from lxml import etree

from .marking import Mark, Marks, Placing
from .model import AUTHOR, Piece
from .odt import Node, Odt
from .package import Element, child, path_to, serialized, value

_OFFICE = "urn:oasis:names:tc:opendocument:xmlns:office:1.0"
_TEXT = "urn:oasis:names:tc:opendocument:xmlns:text:1.0"
_DC = "http://purl.org/dc/elements/1.1/"
_XML_ID = "{http://www.w3.org/XML/1998/namespace}id"


class _Step(NamedTuple):
    """Something to put in at an offset; of steps at one offset the lower `rank` stands further left."""

    offset: int
    rank: int
    order: int
    piece: Piece
    at: int
    element: Element | None = None
    struck: int = 0  # how many characters of the piece are taken out
    words: str = ""


def marked(data: bytes, odt: Odt, placing: Placing, marks: Marks) -> bytes:
    """Return the file with annotations and tracked changes."""
    return _Writer(odt, placing, marks).run()


class _Writer:
    def __init__(self, odt: Odt, placing: Placing, marks: Marks) -> None:
        self.odt, self.placing, self.marks = odt, placing, marks
        self.body: Element = path_to(odt.content, "body", "text")
        names = {value(each, "name") for each in odt.content.iter()}
        self.free = (name for count in range(1 << 30) if (name := f"keyproof{count}") not in names)
        changes = {value(each, "id") for each in odt.content.iter()}
        self.free_changes = (name for count in range(1 << 30) if (name := f"kpc{count}") not in changes)
        self.regions: list[Element] = []
        self.steps: list[_Step] = []

    def run(self) -> bytes:
        placed = [(mark, self.placing.shown(mark.span)) for mark in self.marks.marks]
        for mark, span in placed:
            self._comment(mark, span)
            for edit in mark.edits:
                self._change(edit.span, edit.text, placed)
        for step in sorted(self.steps, key=lambda step: (step.offset, step.rank, step.order), reverse=True):
            self._do(step)
        if self.regions:
            self._register()
        return self.odt.package.rewritten({"content.xml": serialized(self.odt.content)})

    # -- what is to be put in

    def _add(self, offset: int, rank: int, where: tuple[Piece, int], **more: object) -> None:
        self.steps.append(_Step(offset, rank, len(self.steps), *where, **more))  # type: ignore[arg-type]

    def _comment(self, mark: Mark, span: Span) -> None:
        pieces = self.placing.within(span)
        first, last = pieces[0], pieces[-1]
        name = next(self.free)
        annotation = etree.Element(f"{{{_OFFICE}}}annotation")
        annotation.set(f"{{{_OFFICE}}}name", name)
        etree.SubElement(annotation, f"{{{_DC}}}creator").text = AUTHOR
        etree.SubElement(annotation, f"{{{_DC}}}date").text = self.marks.when
        for line in mark.words:
            etree.SubElement(annotation, f"{{{_TEXT}}}p").text = line
        end = etree.Element(f"{{{_OFFICE}}}annotation-end")
        end.set(f"{{{_OFFICE}}}name", name)
        host = first[0].node.host
        if host is not None:
            host.addprevious(annotation)  # no range: in a box comments cannot stand
            return
        self._add(span.start, 1, (first[0], first[1]), element=annotation)
        self._add(span.end, 0, (last[0], last[2]), element=end)

    def _change(self, span: Span, words: str, placed: list[tuple[Mark, Span]]) -> None:
        cuts = {edge for _, other in placed for edge in other if span.start < edge < span.end}
        edges = sorted({span.start, span.end, *cuts})
        last: tuple[Piece, int] | None = None
        for start, end in pairwise(edges):
            offset = start
            for piece, first, until in self.placing.within(Span(start, end)):
                self._add(offset, 2, (piece, first), struck=until - first, words=piece.text[first:until])
                offset += until - first
                last = (piece, until)
        if words:
            where = last or self.placing.beside(span.start)
            if where is not None:
                self._add(span.end, -1, where, words=words)

    # -- putting it in

    def _do(self, step: _Step) -> None:
        if step.struck:
            region = self._region("deletion")
            etree.SubElement(region, f"{{{_TEXT}}}p").text = step.words
            mark = self._mark("change", region)
            self._put(step.piece, step.at, mark, struck=step.struck)
        elif step.element is not None:
            self._put(step.piece, step.at, step.element)
        else:
            region = self._region("insertion")
            start, end = self._mark("change-start", region), self._mark("change-end", region)
            self._put(step.piece, step.at, end)
            end.addprevious(start)
            _fill(start, step.words)

    def _put(self, piece: Piece, at: int, element: Element, struck: int = 0) -> None:
        """Put an element at a place in a piece; so many characters behind it are taken out."""
        node: Node = piece.node
        if node.side == "sign":
            if struck:
                node.element.getparent().replace(node.element, element)
                element.tail = node.element.tail
            elif at:
                tail, node.element.tail = node.element.tail, None
                node.element.addnext(element)
                element.tail = tail
            else:
                node.element.addprevious(element)
            return
        place = piece.at + (at if piece.exact else piece.size * (at > 0))
        size = struck if piece.exact else piece.size * (struck > 0)
        owner = node.element
        words = (owner.text if node.side == "text" else owner.tail) or ""
        rest = words[place + size :]
        if node.side == "text":
            owner.text = words[:place]
            owner.insert(0, element)
        else:
            owner.tail = None
            owner.addnext(element)
            owner.tail = words[:place]
        element.tail = rest or None

    def _region(self, kind: Literal["insertion", "deletion"]) -> Element:
        region = etree.Element(f"{{{_TEXT}}}changed-region")
        name = next(self.free_changes)
        region.set(_XML_ID, name)
        region.set(f"{{{_TEXT}}}id", name)
        change = etree.SubElement(region, f"{{{_TEXT}}}{kind}")
        info = etree.SubElement(change, f"{{{_OFFICE}}}change-info")
        etree.SubElement(info, f"{{{_DC}}}creator").text = AUTHOR
        etree.SubElement(info, f"{{{_DC}}}date").text = self.marks.when
        self.regions.append(region)
        return change

    def _mark(self, name: str, change: Element) -> Element:
        mark = etree.Element(f"{{{_TEXT}}}{name}")
        mark.set(f"{{{_TEXT}}}change-id", str(change.getparent().get(f"{{{_TEXT}}}id")))
        return mark

    def _register(self) -> None:
        """List the changes at the start of the text, where the format wants them."""
        listed = child(self.body, "tracked-changes")
        if listed is None:
            listed = etree.Element(f"{{{_TEXT}}}tracked-changes")
            listed.set(f"{{{_TEXT}}}track-changes", "false")
            self.body.insert(0, listed)
        listed.extend(reversed(self.regions))


def _fill(start: Element, words: str) -> None:
    """Put words behind the start of an insertion, line ends as breaks."""
    lines = words.split("\n")
    start.tail = lines[0] or None
    behind = start
    for line in lines[1:]:
        stop = etree.Element(f"{{{_TEXT}}}line-break")
        tail = behind.tail
        behind.tail = None
        behind.addnext(stop)
        behind.tail = tail
        stop.tail = line or None
        behind = stop
