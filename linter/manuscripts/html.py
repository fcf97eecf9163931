"""Manuscripts in HTML: what a browser shows of a page, without its scripts, styles and menus. No link is followed.

Places are those of the file: the parser of the standard library says where each part begins.
"""

import base64
import binascii
import re
from html import unescape
from html.parser import HTMLParser

from .counting import Counter, add_figure, join_row
from .flow import Flow
from .model import Extract, Passage, Refused, exact

MOST = 16 << 20  # characters of a page
_MOST_OPEN = 200  # signs that open something which is never closed: each is searched to the end of the page
_DEEPEST = 500
_DATA = re.compile(r"data:image/[a-z+.-]{2,20};base64,(.+)", re.DOTALL)
_PARAGRAPHS = frozenset(
    [
        "p",
        "div",
        "section",
        "article",
        "main",
        "header",
        "footer",
        "aside",
        "figure",
        "figcaption",
        "blockquote",
        "address",
        "dl",
        "dt",
        "dd",
        "ul",
        "ol",
        "table",
        "caption",
        "body",
        "html",
        "form",
        "fieldset",
        "legend",
        "details",
        "summary",
        "center",
        "hr",
        "thead",
        "tbody",
        "tfoot",
        "hgroup",
    ]
)
_HEADINGS = {f"h{level}": level for level in range(1, 7)}
_HIDDEN = frozenset(
    [
        "script",
        "style",
        "head",
        "template",
        "noscript",
        "nav",
        "del",
        "svg",
        "textarea",
        "select",
        "iframe",
        "object",
        "audio",
        "video",
        "canvas",
        "rt",
        "rp",
    ]
)
_EMPTY = frozenset(
    ("area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr")
)


def read(text: str) -> Extract:
    """Take a page apart. Raises Refused."""
    if len(text) > MOST:
        raise Refused(f"it has more than {MOST >> 20} million characters: too large to be a manuscript")
    unclosed = text[text.rfind(">") + 1 :].count("<") + text[text.rfind("-->") + 1 :].count("<!--")
    if unclosed > _MOST_OPEN:
        raise Refused("it is broken: hundreds of its tags or comments are never closed")
    reader = _Reader(text)
    reader.feed(text)
    reader.close()
    reader.end_passage()
    return reader.extract


class _Reader(HTMLParser):
    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=False)
        self.source = text
        self.starts = [0, *(found.end() for found in re.finditer("\n", text))]  # as the parser counts lines
        self.extract = Extract()
        self.counter = Counter()
        self._renew(Passage())
        self.open: list[str] = []
        self.hidden = 0  # how many open elements hide what is in them
        self.svg: int | None = None
        self.verbatim = 0
        self.raised = 0  # the pieces before a raised part
        self.lists: list[int | None] = []  # the numbers reached, None in a list without numbers
        self.tables: list[_Table] = []

    # -- where things are

    def _offset(self) -> int:
        line, column = self.getpos()
        return self.starts[line - 1] + column

    # -- passages

    def end_passage(self) -> None:
        """End the passage under way and begin a paragraph."""
        passage = self.passage
        self.flow.strip()
        if passage.text.strip():
            table = self.tables[-1].place if self.tables else None
            passage.places.insert(0, (0, table or self.counter.next("paragraph")))
            self.extract.passages.append(passage)
        self._renew(Passage())

    def _renew(self, passage: Passage) -> None:
        self.passage, self.flow = passage, Flow(passage)

    def _begin(self, tag: str) -> None:
        self.end_passage()
        if tag in _HEADINGS:
            self.passage.kind, self.passage.level = "heading", _HEADINGS[tag]
        elif tag == "pre":
            self.passage.kind = "code"
        elif tag == "li":
            self.passage.kind = "item"
            if self.lists and (reached := self.lists[-1]) is not None:
                self.lists[-1] = reached + 1
                self.passage.number = reached + 1

    # -- what the parser calls

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "img":
            self._image({name: said or "" for name, said in attrs})
            return
        if tag not in _EMPTY:
            if len(self.open) >= _DEEPEST:
                raise Refused(f"its elements stand more than {_DEEPEST} deep in each other")
            self._close_implied(tag)
            self.open.append(tag)
        if tag == "svg" and not self.hidden:
            self.svg = self._offset()
        if tag in _HIDDEN:
            self.hidden += 1
        if self.hidden:
            return
        if tag == "br":
            self._sign("\n", self._offset(), len(self.get_starttag_text() or ""))
        elif tag in _PARAGRAPHS or tag in _HEADINGS or tag in ("pre", "li"):
            self._begin(tag)
        self._opened(tag, dict(attrs))

    def _opened(self, tag: str, attributes: dict[str, str | None]) -> None:
        if tag in ("ul", "ol"):
            start = attributes.get("start") or "1"
            first = int(start) if start.isdecimal() and len(start) < 9 else 1
            self.lists.append(first - 1 if tag == "ol" else None)
        elif tag == "sup":
            self.raised = len(self.passage.pieces)
        elif tag == "pre":
            self.verbatim += 1
        elif tag == "table":
            self.tables.append(_Table(self.counter.next("table")))
        elif tag == "tr" and self.tables:
            self.end_passage()
            self.tables[-1].begin_row()
        elif tag in ("td", "th") and self.tables:
            self.end_passage()
            self.tables[-1].begin_cell(len(self.extract.passages))

    def _close_implied(self, tag: str) -> None:
        """End what ends by itself where another begins (HTML standard, optional tags)."""
        ends = {"li": ("li",), "tr": ("td", "th", "tr"), "td": ("td", "th"), "th": ("td", "th"), "dt": ("dd", "dt")}
        closing = ends.get(tag, ()) or (("p",) if tag in _PARAGRAPHS or tag in _HEADINGS else ())
        while self.open and self.open[-1] in closing:
            self.handle_endtag(self.open[-1])

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in _EMPTY:
            self.handle_endtag(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag not in self.open[-_DEEPEST:]:
            return
        while self.open:
            last = self.open.pop()
            self._ended(last)
            if last == tag:
                break

    def _ended(self, tag: str) -> None:
        if tag in _HIDDEN:
            self.hidden -= 1
            if tag == "svg" and self.svg is not None and not self.hidden:
                self._drawing(self.svg)
                self.svg = None
            return
        if self.hidden:
            return
        if tag in _PARAGRAPHS or tag in _HEADINGS or tag in ("pre", "li", "td", "th"):
            self.end_passage()
        if tag == "sup":
            self._call_of_note()
        elif tag == "pre":
            self.verbatim -= 1
        elif tag in ("ul", "ol") and self.lists:
            self.lists.pop()
        elif tag == "tr" and self.tables:
            join_row(self.extract, self.tables[-1].edges)
            self.tables[-1].edges = []
        elif tag == "table" and self.tables:
            self.tables.pop()

    def handle_data(self, data: str) -> None:
        if not self.hidden:
            self._words(data, self._offset())

    def handle_entityref(self, name: str) -> None:
        self._reference(f"&{name}")

    def handle_charref(self, name: str) -> None:
        self._reference(f"&#{name}")

    def _reference(self, written: str) -> None:
        if self.hidden:
            return
        place = self._offset()
        closed = self.source.startswith(";", place + len(written))
        sign = unescape(written + ";" * closed)
        self._sign(sign, place, len(written) + closed)

    def unknown_decl(self, data: str) -> None:
        """Pass over a declaration that HTML has not."""

    # -- pieces

    def _sign(self, sign: str, at: int, size: int) -> None:
        self.flow.sign(sign, self, at, size)

    def _words(self, data: str, start: int) -> None:
        if self.verbatim:
            self.passage.add(exact(data, self, start))
        else:
            self.flow.words(data, self, start)

    def _call_of_note(self) -> None:
        """Take a raised number away: it calls up a note, and is no part of the move before it."""
        raised = self.passage.pieces[self.raised :]
        if raised and "".join(piece.text for piece in raised).strip(" []*").isdigit():
            del self.passage.pieces[self.raised :]
            self.passage.size -= sum(len(piece.text) for piece in raised)

    # -- pictures

    def _image(self, attributes: dict[str, str]) -> None:
        if self.hidden:
            return
        words = attributes.get("alt", "")
        if len(words) <= 2 and words.strip():  # a man in the line, drawn
            self._sign(words, self._offset(), len(self.get_starttag_text() or ""))
            return
        inside = _DATA.match(attributes.get("src", ""))
        data = b""
        if inside:
            try:
                data = base64.b64decode(inside[1][:120_000], validate=False)
            except (binascii.Error, ValueError):
                data = b""
        self._figure(data, words, outside=inside is None)

    def _drawing(self, start: int) -> None:
        drawn = self.source[start : self._offset()]
        title = re.search(r"<title>([^<]{1,200})</title>", drawn[:20_000])
        self._figure(drawn[:60_000].encode(), title[1] if title else "", outside=False)

    def _figure(self, data: bytes, title: str, *, outside: bool) -> None:
        """Take in a picture before the words that are under way."""
        kind, level = self.passage.kind, self.passage.level
        if not self.passage.text.strip():
            self._renew(Passage(kind, level))
            add_figure(self.extract, self.counter, data, title, outside=outside)
            return
        self.end_passage()
        add_figure(self.extract, self.counter, data, title, outside=outside)


class _Table:
    """A table under way: its row, its cell, and the passages at which the cells of the row begin."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.row, self.column = 0, 0
        self.edges: list[int] = []

    @property
    def place(self) -> str:
        return f"{self.name}, row {self.row}, column {self.column}" if self.row else self.name

    def begin_row(self) -> None:
        self.row += 1
        self.column = 0
        self.edges = []

    def begin_cell(self, edge: int) -> None:
        self.column += 1
        self.edges.append(edge)
