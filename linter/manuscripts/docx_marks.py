"""Comments and tracked changes in a .docx (ECMA-376 part 1, 17.13).

The runs are parted at the edges of all spans first, the last edge first, so that what stands before keeps
its places; then the marks are put between runs.
"""

import copy
import posixpath
from typing import Any

from keyproof.grammar.spans import Span
from lxml import etree

from .docx import Docx, Node
from .docx_parts import relations_name, relations_of
from .marking import Mark, Marks, Placing
from .model import AUTHOR, Piece
from .package import Element, local, parse, serialized, value

_XML_SPACE = "{http://www.w3.org/XML/1998/namespace}space"
_RELATIONS = "http://schemas.openxmlformats.org/package/2006/relationships"
_TYPES = "http://schemas.openxmlformats.org/package/2006/content-types"
_COMMENTS_TYPE = "application/vnd.openxmlformats-officedocument.wordprocessingml.comments+xml"
_W14 = "http://schemas.microsoft.com/office/word/2010/wordml"


def marked(data: bytes, docx: Docx, placing: Placing, marks: Marks) -> bytes:
    """Return the file with comments and tracked changes."""
    return _Writer(docx, placing, marks).run()


class _Writer:
    def __init__(self, docx: Docx, placing: Placing, marks: Marks) -> None:
        self.docx, self.placing, self.marks = docx, placing, marks
        self.main = docx.bodies[docx.main].root
        self.w = etree.QName(self.main).namespace
        self.parts: dict[int, list[tuple[int, int, Element]]] = {}  # of a parted text: first, last, the element now
        self.ends: dict[int, int] = {}
        self.changed: dict[str, bytes] = {}
        self.next_change = 1 + max(
            (int(said) for body in docx.bodies.values() for each in body.root.iter() if (said := _number(each))),
            default=0,
        )

    def tag(self, name: str) -> str:
        return f"{{{self.w}}}{name}"

    def run(self) -> bytes:
        comments = self._comments()
        number = 1 + max((int(said) for each in comments if (said := value(each, "id") or "").isdecimal()), default=-1)
        placed = [(mark, self.placing.shown(mark.span)) for mark in self.marks.marks]
        self._cut(placed)
        for mark, span in placed:
            self._comment(mark, span, number)
            comments.append(self._words(mark, number))
            number += 1
        for mark, _ in placed:
            for edit in sorted(mark.edits, key=lambda edit: edit.span, reverse=True):
                self._change(edit.span, edit.text)
        for name, body in self.docx.bodies.items():
            self.changed[name] = serialized(body.root)
        self.changed[self.comments_name] = serialized(comments)
        return self.docx.package.rewritten(self.changed)

    # -- the part that holds comments

    def _comments(self) -> Element:
        package = self.docx.package
        known = next((each for each in relations_of(package, self.docx.main).values() if each.kind == "comments"), None)
        if known is not None and known.target in package.names:
            self.comments_name = known.target
            return package.xml(known.target)
        folder = posixpath.dirname(self.docx.main)
        self.comments_name = posixpath.join(folder, "comments.xml")
        while self.comments_name in package.names:
            self.comments_name = self.comments_name.replace("comments", "comments0")
        self._register()
        return etree.Element(self.tag("comments"), nsmap={"w": self.w, "w14": _W14})

    def _register(self) -> None:
        """Name the new part among the types and the links of the file."""
        package = self.docx.package
        types = package.xml("[Content_Types].xml")
        override = etree.SubElement(types, f"{{{_TYPES}}}Override")
        override.set("PartName", f"/{self.comments_name}")
        override.set("ContentType", _COMMENTS_TYPE)
        self.changed["[Content_Types].xml"] = serialized(types)
        name = relations_name(self.docx.main)
        empty = f'<Relationships xmlns="{_RELATIONS}"/>'.encode()
        links = package.xml(name) if name in package.names else parse(empty, name)
        ids = {value(each, "Id") for each in links}
        link = etree.SubElement(links, f"{{{_RELATIONS}}}Relationship")
        link.set("Id", next(key for count in range(1, len(ids) + 2) if (key := f"rIdComments{count}") not in ids))
        strict = "purl.oclc.org" in self.w
        base = "http://purl.oclc.org/ooxml" if strict else "http://schemas.openxmlformats.org"
        middle = "officeDocument" if strict else "officeDocument/2006"
        link.set("Type", f"{base}/{middle}/relationships/comments")
        link.set("Target", posixpath.relpath(self.comments_name, posixpath.dirname(self.docx.main) or "."))
        self.changed[name] = serialized(links)

    def _words(self, mark: Mark, number: int) -> Element:
        comment = etree.Element(self.tag("comment"))
        for key, said in (("id", str(number)), ("author", AUTHOR), ("date", self.marks.when), ("initials", "kp")):
            comment.set(self.tag(key), said)
        for line in mark.words:
            paragraph = etree.SubElement(comment, self.tag("p"))
            self._text(etree.SubElement(paragraph, self.tag("r")), line, "t")
        return comment

    def _text(self, run: Element, words: str, name: str) -> None:
        """Put words into a run, line ends as breaks."""
        for index, line in enumerate(words.split("\n")):
            if index:
                etree.SubElement(run, self.tag("br"))
            if line:
                text = etree.SubElement(run, self.tag(name))
                text.text = line
                text.set(_XML_SPACE, "preserve")

    # -- parting runs

    def _cut(self, placed: list[tuple[Mark, Span]]) -> None:
        spans = [span for _, span in placed] + [edit.span for mark, _ in placed for edit in mark.edits]
        for span in spans:
            if span.start == span.end:
                found = self.placing.beside(span.start)
                if found is not None:
                    piece, at = found
                    self._cut_piece(piece, at)
                continue
            for piece, first, last in self.placing.within(span):
                self._cut_piece(piece, first)
                self._cut_piece(piece, last)

    def _cut_piece(self, piece: Piece, at: int) -> None:
        """Make a run end, and another begin, at a place in a piece."""
        element = piece.node.element
        if piece.exact and 0 < at < len(piece.text):
            element = self._cut_text(piece, at)
            self._cut_run(element, before=True)
        else:
            self._cut_run(self._part(piece, at if at < len(piece.text) or not at else at - 1), before=at <= 0)

    def _known(self, piece: Piece) -> list[tuple[int, int, Element]]:
        element = piece.node.element
        return self.parts.setdefault(id(element), [(0, len(element.text or ""), element)])

    def _part(self, piece: Piece, at: int) -> Element:
        """Return the element that holds a character of a piece now."""
        if not piece.exact:
            return piece.node.element
        place = piece.at + at
        return next(element for first, last, element in self._known(piece) if first <= place < last)

    def _cut_text(self, piece: Piece, at: int) -> Element:
        """Part a text in two; return the second."""
        known = self._known(piece)
        place = piece.at + at
        index = next(index for index, (first, last, _) in enumerate(known) if first <= place < last)
        first, last, element = known[index]
        if first == place:
            return element
        rest = etree.Element(element.tag)
        words = element.text or ""
        rest.text, element.text = words[place - first :], words[: place - first]
        for each in (element, rest):
            each.set(_XML_SPACE, "preserve")
        element.addnext(rest)
        known[index : index + 1] = [(first, place, element), (place, last, rest)]
        return rest

    def _cut_run(self, element: Element, *, before: bool) -> None:
        """Part the run of an element before or behind it."""
        run = element.getparent()
        while local(run) != "r":
            element, run = run, run.getparent()
        inside = [each for each in run if local(each) != "rPr"]
        index = inside.index(element) + (not before)
        if index in (0, len(inside)):
            return
        rest = etree.Element(run.tag)
        properties = next((each for each in run if local(each) == "rPr"), None)
        if properties is not None:
            rest.append(copy.deepcopy(properties))
        rest.extend(inside[index:])
        run.addnext(rest)

    # -- marks

    def _run_of(self, piece: Piece, at: int) -> Element:
        """Return the run that holds a character of a piece."""
        run = self._part(piece, at)
        while local(run) != "r":
            run = run.getparent()
        return run

    def _host(self, piece: Piece, at: int) -> Element:
        """Return the run beside which a comment on a character may stand: in notes and boxes that which calls them."""
        node: Node = piece.node
        return self._run_of(piece, at) if node.host is None else node.host

    def _comment(self, mark: Mark, span: Span, number: int) -> None:
        pieces = self.placing.within(span)
        first = _outermost(self._host(pieces[0][0], pieces[0][1]))
        last = _outermost(self._host(pieces[-1][0], pieces[-1][2] - 1))
        for name, target in (("commentRangeStart", first), ("commentRangeEnd", last)):
            edge = etree.Element(self.tag(name))
            edge.set(self.tag("id"), str(number))
            _put(edge, target, behind=name.endswith("End"))
        run = etree.Element(self.tag("r"))
        reference = etree.SubElement(run, self.tag("commentReference"))
        reference.set(self.tag("id"), str(number))
        edge.addnext(run)

    def _change(self, span: Span, words: str) -> None:
        """Strike the words of a span and put others in their place, both as tracked changes."""
        runs: list[Element] = []
        for piece, first, last in self.placing.within(span):
            for at in range(first, last):
                run = self._run_of(piece, at)
                if not any(run is other for other in runs):
                    runs.append(run)
        beside = None if runs else self.placing.beside(span.start)
        if not runs and beside is None:
            return
        if beside is not None:
            piece, at = beside
            neighbour = self._run_of(piece, max(at - 1, 0))
            behind = at > 0
        else:
            neighbour, behind = runs[-1], True
        if words:
            added = self._tracked("ins")
            run = etree.SubElement(added, self.tag("r"))
            properties = next((each for each in neighbour if local(each) == "rPr"), None)
            if properties is not None:
                run.append(copy.deepcopy(properties))
            self._text(run, words, "t")
            _put(added, neighbour, behind=behind)
        for run in runs:
            struck = self._tracked("del")
            parent = run.getparent()
            parent.replace(run, struck)
            struck.append(run)
            for text in run:
                if local(text) == "t":
                    text.tag = self.tag("delText")

    def _tracked(self, name: str) -> Any:
        element = etree.Element(self.tag(name))
        self.next_change += 1
        for key, said in (("id", str(self.next_change)), ("author", AUTHOR), ("date", self.marks.when)):
            element.set(self.tag(key), said)
        return element


def _put(element: Element, target: Element, *, behind: bool) -> None:
    (target.addnext if behind else target.addprevious)(element)


def _outermost(run: Element) -> Element:
    """Return the part of the paragraph that holds a run: a comment begins and ends between such parts."""
    while local(run.getparent()) in ("ins", "moveTo", "hyperlink", "fldSimple", "smartTag"):
        run = run.getparent()
    return run


def _number(element: Element) -> str:
    if local(element) in ("ins", "del", "moveFrom", "moveTo", "bookmarkStart", "rPrChange", "pPrChange"):
        said = value(element, "id") or ""
        return said if said.isdecimal() else ""
    return ""
