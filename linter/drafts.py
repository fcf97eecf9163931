"""Drafts as documents: solutions of one or several puzzles as .docx or HTML, with a diagram over each."""

import io
from collections.abc import Iterator, Sequence
from pathlib import Path

import chess
from msgspec import Struct

from .diagrams.files import NoDiagram, Width, as_png
from .diagrams.svg import PLAIN, described, side_of, standalone
from .sheet.markup import Markup, join, tag

_WIDTH = Width(60, millimetres=True)
SUFFIXES = (".docx", ".html", ".htm")
"""The names of files that drafts are written into."""
_BULLETS = ("List Bullet", "List Bullet 2", "List Bullet 3")  # the styles of lists in lists
_NEEDS = "a .docx needs more libraries: pip install 'keyproof[documents]'"
_STYLE = (
    "body{font:11pt/1.45 Georgia,'Times New Roman',serif;max-width:34em;margin:2em auto;color:#111;background:#fff}"
    "h2{font-size:1.15em;margin-top:2em}figure{margin:1em 0}ul{padding-left:1.2em}"
)


class Entry(Struct, frozen=True):
    """The solution of one puzzle. The first paragraph is the position."""

    title: str
    board: chess.Board
    paragraphs: tuple[str, ...]

    def text(self) -> str:
        """Return all of it as text."""
        return "\n\n".join([*([self.title] if self.title else []), *self.paragraphs])


def made(output: str, entries: Sequence[Entry]) -> bytes:
    """Return a file of the kind its name says. NoDiagram if a library for it is missing."""
    return as_docx(entries) if Path(output).suffix.lower() == ".docx" else as_html(entries)


def as_html(entries: Sequence[Entry]) -> bytes:
    """Return a page; the diagrams are drawn in it."""
    parts = []
    for each in entries:
        drawn = standalone(each.board, width=_WIDTH.attribute, dot=_WIDTH.dot(side_of(PLAIN)), title=each.title).strip()
        parts.append(
            tag(
                "section",
                tag("h2", each.title) if each.title else None,
                tag("figure", Markup(drawn)),
                [_html(paragraph) for paragraph in each.paragraphs[1:]],
            )
        )
    title = entries[0].title or "Solutions"
    head = tag("head", tag("meta", charset="utf-8"), tag("title", title), tag("style", Markup(_STYLE)))
    return f"<!DOCTYPE html>\n{tag('html', head, tag('body', join(parts)), lang='en')}\n".encode()


class _Item(Struct):
    """An item of a list, and the items below it."""

    words: str
    below: list["_Item"]


def _items(paragraph: str) -> list[_Item]:
    """Return the items of a list as a tree, by how far each is moved in; nothing for a paragraph that is no list."""
    top: list[_Item] = []
    open_: list[tuple[int, list[_Item]]] = [(-1, top)]  # the lists an item may stand in, with what holds each
    for line in paragraph.split("\n"):
        words = line.lstrip(" ")
        if not words.startswith("- "):
            return []
        indent = len(line) - len(words)
        while indent <= open_[-1][0]:
            open_.pop()
        item = _Item(words.removeprefix("- "), [])
        open_[-1][1].append(item)
        open_.append((indent, item.below))
    return top


def _html(paragraph: str) -> Markup:
    items = _items(paragraph)
    return _list(items) if items else tag("p", paragraph)


def _list(items: Sequence[_Item]) -> Markup:
    return tag("ul", [tag("li", each.words, _list(each.below) if each.below else None) for each in items])


def _levelled(items: Sequence[_Item], level: int = 0) -> Iterator[tuple[int, str]]:
    """Yield the words of items with the depth of each, from 0, in the order of reading."""
    for each in items:
        yield level, each.words
        yield from _levelled(each.below, level + 1)


def as_docx(entries: Sequence[Entry]) -> bytes:
    """Return a document for a word processor; each diagram is a picture with the list of men as its other text."""
    try:
        from docx import Document
        from docx.oxml.ns import qn
        from docx.shared import Mm, Pt, RGBColor
    except ImportError:
        raise NoDiagram(_NEEDS) from None
    document, width = Document(), Mm(_WIDTH.value)
    for name, size in (("Normal", 11), ("Heading 2", 13)):
        style = document.styles[name]
        style.font.name, style.font.size, style.font.color.rgb = "Georgia", Pt(size), RGBColor(0, 0, 0)
        fonts = style.element.rPr.rFonts
        for key in list(fonts.attrib):
            if key.endswith("Theme"):
                del fonts.attrib[key]
        fonts.set(qn("w:hAnsi"), "Georgia")
    for each in entries:
        if each.title:
            document.add_heading(each.title, 2)
        picture = document.add_picture(io.BytesIO(as_png(each.board, PLAIN, _WIDTH, each.title)), width)
        picture._inline.docPr.set("descr", described(each.board))
        for paragraph in each.paragraphs[1:]:
            items = _items(paragraph)
            for line in () if items else paragraph.split("\n"):
                document.add_paragraph(line)
            for level, words in _levelled(items):
                document.add_paragraph(words, _BULLETS[min(level, len(_BULLETS) - 1)])
    out = io.BytesIO()
    document.save(out)
    return out.getvalue()
