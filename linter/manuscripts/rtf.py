"""Manuscripts in .rtf, as far as the library striprtf reads them: paragraphs and rows of tables.

What it leaves out is named: pictures and footnotes. A file with tracked changes is refused, since in it deleted
words could not be told from those that stand.
"""

import re

from striprtf.striprtf import rtf_to_text

from .counting import Counter, add_figure
from .model import Extract, Passage, Refused, exact

MOST = 16 << 20  # bytes
_PICTURE = re.compile(r"\\pict(?![a-z])(?!(?:[^{}]|\{[^{}]*\}){0,200}\\bliptag0)")
_FOOTNOTE = re.compile(r"\{\\footnote(?![a-z])|\\footnote(?![a-z])")
_DELETED = re.compile(r"\\deleted(?![a-z0-9])")
_FIELD = re.compile(r"\{\\field")


def read(data: bytes) -> Extract:
    """Take a file apart. Raises Refused."""
    if len(data) > MOST:
        raise Refused(f"it has more than {MOST >> 20} MB: too large to be read as .rtf, save it as .docx")
    if not data.lstrip().startswith(b"{\\rtf"):
        raise Refused("it is broken: it does not begin as .rtf does")
    text = data.decode("latin-1")
    if _DELETED.search(text):
        raise Refused("it holds tracked changes, which .rtf tells apart too poorly: save it as .docx or .odt")
    # The library looks for addresses with a pattern that runs to the end of the line; line ends mean nothing here.
    flat = rtf_to_text(_FIELD.sub("\n{\\\\field", text), errors="replace")
    extract = Extract()
    counter = Counter()
    place = ""
    row = 0
    for line in flat.split("\n"):
        cells = line.endswith("|")
        if not line.strip():
            row = row if cells else 0
            continue
        row = row + 1 if cells else 0
        if cells and row == 1:
            place = counter.next("table")
        passage = Passage("cell" if cells else "paragraph")
        passage.places.append((0, f"{place}, row {row}" if cells else counter.next("paragraph")))
        passage.add(exact(line[:-1].replace("|", "\t") if cells else line.replace("\xad", ""), None))
        extract.passages.append(passage)
    for _ in _PICTURE.finditer(text):
        add_figure(extract, counter, b"", "")
    footnotes = len(_FOOTNOTE.findall(text))
    if footnotes:
        extract.note(f"{'a footnote is' if footnotes == 1 else f'{footnotes} footnotes are'} not read: save it as .docx or .odt")
    return extract
