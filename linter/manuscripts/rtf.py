"""Manuscripts in .rtf, as far as the library striprtf reads them: paragraphs and rows of tables.

Footnotes, which it passes over, are read by themselves; pictures are named. A file with tracked changes is refused, since in it deleted
words could not be told from those that stand.
"""

import re

from keyproof.grammar.document import BlockKind
from striprtf.striprtf import rtf_to_text

from .counting import Counter, add_figure
from .model import Extract, Passage, Piece, Refused

MOST = 16 << 20  # bytes
_PICTURE = re.compile(r"\\pict(?![a-z])")
_FOOTNOTE = re.compile(r"\{\s{0,4}(?:\\\*\s{0,4})?\\footnote(?![a-z])")
_DELETED = re.compile(r"\\deleted(?![a-z0-9])")
_FIELD = re.compile(r"\{\\field")
_SIGNS = re.compile(r"\\.|[{}]", re.DOTALL)
_CALL = "\ue000"  # stands in the text where a footnote is called
_AS_RTF = "\\u57344?"


def read(data: bytes) -> Extract:
    """Take a file apart. Raises Refused."""
    if len(data) > MOST:
        raise Refused(f"it has more than {MOST >> 20} MB: too large to be read as .rtf, save it as .docx")
    if not data.lstrip().startswith(b"{\\rtf"):
        raise Refused("it is broken: it does not begin as .rtf does")
    source = data.decode("latin-1")
    if _DELETED.search(source):
        raise Refused("it holds tracked changes, which .rtf tells apart too poorly: save it as .docx or .odt")
    text, notes = _without_footnotes(source)
    reader = _Reader([_flat("{\\rtf1 " + note) for note in notes])
    for line in _flat(text).split("\n"):
        reader.line(line)
    for _ in _PICTURE.finditer(text):
        add_figure(reader.extract, reader.counter, b"", "")
    return reader.extract


def _flat(text: str) -> str:
    # The library looks for addresses with a pattern that runs to the end of the line; line ends mean nothing here.
    try:
        return str(rtf_to_text(_FIELD.sub("\n{\\\\field", text), errors="replace"))
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
        kept += [text[place : found.start()], _AS_RTF]
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
        line = line.replace(_CALL, "").replace("\xad", "")
        if line.strip():
            self.row = self.row + 1 if cells else 0
            if self.row == 1:
                self.table = self.counter.next("table")
            place = f"{self.table}, row {self.row}" if cells else self.counter.next("paragraph")
            self._add("cell" if cells else "paragraph", line[:-1].replace("|", "\t") if cells else line, place)
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
