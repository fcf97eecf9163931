"""Manuscripts in .rtf, as far as the library striprtf reads them: paragraphs and rows of tables.

Footnotes, which it passes over, are read by themselves; pictures are named. A file with tracked changes is
refused, since in it deleted words could not be told from those that stand.
"""

import re

from keyproof.grammar.document import BlockKind
from striprtf.striprtf import rtf_to_text

from .counting import Counter, add_figure
from .model import BETWEEN_CELLS, Extract, Passage, Piece, Refused

MOST = 16 << 20  # bytes
_PICTURE = re.compile(r"\\pict(?![a-z])")
_FOOTNOTE = re.compile(r"\{\s{0,4}(?:\\\*\s{0,4})?\\footnote(?![a-z])")
_DELETED = re.compile(r"\\deleted(?![a-z0-9])")
_FIELD = re.compile(r"\{\\field")
_SIGNS = re.compile(r"\\.|[{}]", re.DOTALL)
_OUTLINE = re.compile(r"\\outlinelevel([0-8])(?![0-9])[ ]?")
_LINE = re.compile(r"\\line(?![a-z0-9])[ ]?")
# Signs that stand in the text for what the library would drop: the call of a footnote, a line end within a
# paragraph, the level of a heading.
_CALL, _BREAK, _HEADING = "\ue000", "\ue001", "\ue010"
_MARKED = re.compile(r"[\ue010-\ue018]")


def read(data: bytes) -> Extract:
    """Take a file apart. Raises Refused."""
    if len(data) > MOST:
        raise Refused(f"it has more than {MOST >> 20} MB: too large to be read as .rtf, save it as .docx")
    if not data.lstrip().startswith(b"{\\rtf"):
        raise Refused("it is broken: it does not begin as .rtf does")
    source = data.decode("latin-1")
    if _DELETED.search(source):
        raise Refused("it holds tracked changes, which .rtf tells apart too poorly: save it as .docx or .odt")
    source = _LINE.sub(lambda _: _as_rtf(_BREAK), source)
    source = _OUTLINE.sub(lambda level: level[0].rstrip() + _as_rtf(chr(ord(_HEADING) + int(level[1]))), source)
    text, notes = _without_footnotes(source)
    reader = _Reader([_flat("{\\rtf1 " + note) for note in notes])
    for line in _flat(text).split("\n"):
        reader.line(line)
    for _ in _PICTURE.finditer(text):
        add_figure(reader.extract, reader.counter, b"", "")
    return reader.extract


def _as_rtf(sign: str) -> str:
    return f"\\u{ord(sign)}?"


def _flat(text: str) -> str:
    # The library looks for addresses with a pattern that runs to the end of the line; line ends mean nothing here.
    try:
        shown = rtf_to_text(_FIELD.sub("\n{\\\\field", text), errors="replace")  # type: ignore[no-untyped-call]
        return str(shown)
    except (ValueError, IndexError, LookupError, OverflowError, TypeError, AttributeError) as fault:
        raise Refused(f"it is broken: {' '.join(str(fault).split()) or type(fault).__name__}") from None


def _without_footnotes(text: str) -> tuple[str, list[str]]:
    """Take the footnotes out, which the library passes over; a sign stays where each is called."""
    kept: list[str] = []
    notes: list[str] = []
    place = 0
    for found in _FOOTNOTE.finditer(text):
        if found.start() < place:
            continue
        depth, end = 0, len(text)
        for sign in _SIGNS.finditer(text, found.start()):
            depth += (sign[0] == "{") - (sign[0] == "}")
            if depth == 0:
                end = sign.end()
                break
        kept += [text[place : found.start()], _as_rtf(_CALL)]
        notes.append(text[found.end() : end])
        place = end
    return "".join([*kept, text[place:]]), notes


class _Reader:
    def __init__(self, notes: list[str]) -> None:
        self.extract = Extract()
        self.counter = Counter()
        self.notes = notes
        self.called = 0
        self.table, self.row = "", 0

    def line(self, line: str) -> None:
        """Take in a paragraph, or a row of a table, and the footnotes it calls."""
        cells = line.endswith("|")
        calls = line.count(_CALL)
        heading = _MARKED.search(line)
        line = _MARKED.sub("", line).replace(_CALL, "").replace("\xad", "").replace(_BREAK, "\n")
        if line.strip():
            self.row = self.row + 1 if cells else 0
            if self.row == 1:
                self.table = self.counter.next("table")
            place = f"{self.table}, row {self.row}" if cells else self.counter.next("paragraph")
            kind: BlockKind = "cell" if cells else "heading" if heading else "paragraph"
            self._add(kind, line[:-1].replace("|", BETWEEN_CELLS) if cells else line.strip("\n"), place)
            if heading and not cells:
                self.extract.passages[-1].level = 1 + ord(heading[0]) - ord(_HEADING)
        for note in self.notes[self.called : self.called + calls]:
            name = self.counter.next("footnote")
            for part in note.split("\n"):
                if part.strip():
                    self._add("paragraph", part.strip(), name)
        self.called += calls

    def _add(self, kind: BlockKind, words: str, place: str) -> None:
        passage = Passage(kind)
        passage.places.append((0, place))
        passage.add(Piece(words))
        self.extract.passages.append(passage)
