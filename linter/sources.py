"""From a file to a document: bytes, line ends and the parts that are the author's words.

Files are UTF-8, or what `decoding` can tell for sure. A byte order mark at the start is
dropped, so that offsets and columns count from the first character an editor shows; whoever
writes the file again must restore it. Nothing else is changed: line ends, tabs and accents
stay as they are.
"""

import importlib
import re
import sys
from collections.abc import Callable
from pathlib import Path

from keyproof.grammar.document import Beside, Block, Document, PuzzleText, without_boards
from keyproof.grammar.figures import in_letters
from keyproof.grammar.letters import as_notation
from keyproof.grammar.named_files import with_files_lettered
from keyproof.grammar.page_columns import boards_beside
from keyproof.grammar.spans import Lines
from keyproof.grammar.talks import with_puzzles
from keyproof.grammar.text_columns import columns_of_positions
from keyproof.rules.case.sic import without_marks
from msgspec.structs import replace

from .decoding import Undecodable, decode
from .kinds import KINDS, MANUSCRIPTS, SOURCES, Kind

Reader = Callable[[str], tuple[str, list[Block]]]
PuzzleReader = Callable[[str], tuple[str, list[PuzzleText]]]  # of files that say themselves what a puzzle is

STANDARD_INPUT = "-"
"""The path that stands for standard input."""

# Tab, line ends, and the vertical tab and form feed of old printers are text.
_CONTROL = re.compile(r"[\x00-\x08\x0e-\x1f\x7f]")

# What word processors write and `manuscripts` does not read.
_OFFICE = (".doc", ".pages")

_TAG_PAIR = re.compile(r'\s*(?:[%;].*\s+)*\[\s*\w+\s+"')
_CUE = re.compile(r"^\s*[\d:.,]+[ \t]+-->[ \t]+[\d:.,]+", re.M)
_EPD = re.compile(r"\s*(?:[1-8KQRBNPkqrbnp]+/){7}[1-8KQRBNPkqrbnp]+\s+[wb]\s+\S+\s+\S+(?:\s+[A-Za-z]\w*\b.*;)")
_MARKDOWN = re.compile(r"^ {0,3}(?:#{1,6}[ \t]|```|[-*+][ \t]|>)|\*\*\S|`[^`\n]+`", re.M)


class Unreadable(Exception):
    """A file that is not text of a known encoding, or not there. Save it as UTF-8, or give another path.

    `line` and `column` count from 1, columns in code points.
    """

    def __init__(self, path: str, message: str, line: int = 1, column: int = 1) -> None:
        super().__init__(f"{path}:{line}:{column}: {message}")
        self.path = path
        self.message = message
        self.line = line
        self.column = column


def kind_of(path: str | Path) -> Kind | None:
    """Return the kind of file a path names by its suffix, or None if no reader knows it."""
    return KINDS.get(Path(path).suffix.lower())


def read(path: str | Path, kind: Kind | None = None, name: str | None = None) -> Document:
    """Read a file, as text of this kind or of the kind its suffix tells. Raises Unreadable.

    "-" is standard input; `name` is what it is called in reports, and tells its kind.
    """
    return from_bytes(*opened(path, kind, name))


def opened(path: str | Path, kind: Kind | None = None, name: str | None = None) -> tuple[str, bytes, Kind | None]:
    """Return what `from_bytes` makes a document of, as `read` takes it from a file. Raises Unreadable."""
    from_stream = path == STANDARD_INPUT
    shown = name or ("standard input" if from_stream else str(path))
    kind = kind or kind_of(shown)
    guessed = kind is None and from_stream and name is None
    if kind is None and not guessed:
        raise Unreadable(shown, _unknown(shown))
    try:
        data = sys.stdin.buffer.read() if from_stream else Path(path).read_bytes()
    except (OSError, ValueError) as fault:
        reason = fault.strerror if isinstance(fault, OSError) and fault.strerror else str(fault)
        raise Unreadable(shown, reason[:1].lower() + reason[1:]) from fault
    return shown, data, kind


def from_bytes(shown: str, data: bytes, kind: Kind | None) -> Document:
    """Make a document of bytes at hand, read as this kind, or as the likeliest of text. Raises Unreadable."""
    if kind in MANUSCRIPTS:
        return _manuscript(shown, data, kind)
    try:
        decoded = decode(data)
    except Undecodable as fault:
        raise Unreadable(shown, str(fault), fault.line, fault.column) from None
    notes = (decoded.note,) if decoded.note else ()
    if kind is None:
        kind = likely_kind(decoded.text)
        notes = (*notes, f"read as {kind}, as it seems to be: --reading-as and --name say otherwise")
    return replace(document_from_text(shown, decoded.text, kind), notes=notes)


def document_from_source(path: str, text: str, kind: Kind) -> Document:
    """Make a document of text at hand as its file has it: of HTML or LaTeX, what it says. Raises Unreadable."""
    if kind not in SOURCES:
        return document_from_text(path, text, kind)
    from .manuscripts import reading
    from .manuscripts.model import Refused

    try:
        return _unmarked(reading.source_taken_apart(path, text, kind).document)  # type: ignore[arg-type]  # one of SOURCES
    except Refused as refusal:
        raise Unreadable(path, refusal.message, refusal.line, refusal.column) from None


def _manuscript(path: str, data: bytes, kind: Kind) -> Document:
    from .manuscripts import reading
    from .manuscripts.model import Refused

    try:
        return _unmarked(reading.read(path, data, kind))  # type: ignore[arg-type]  # one of MANUSCRIPTS
    except Refused as refusal:
        raise Unreadable(path, refusal.message, refusal.line, refusal.column) from None


def _unmarked(document: Document) -> Document:
    return replace(document, masked=without_marks(with_files_lettered(document.masked)))


def _unknown(shown: str) -> str:
    suffix = Path(shown).suffix
    if suffix.lower() in _OFFICE:
        return f"a {suffix} file is not plain text: save a copy as .docx, .odt or text in UTF-8 and check that"
    known = ", ".join(KINDS)
    return f"unknown kind of file {suffix or Path(shown).name!r}; known are {known}, others need --reading-as"


def likely_kind(text: str) -> Kind:
    """Return the kind that a text without a name most likely is.

    PGN begins with a tag pair, captions have timed cues, each line of EPD is a position with operations (PGN
    standard 8.1 and 16.2, WebVTT 4.1); Markdown has a sign that plain text has not.
    """
    if _TAG_PAIR.match(text):
        return "pgn"
    if _CUE.search(text):
        return "captions"
    lines = [line for line in text.splitlines() if line.strip()]
    if lines and all(_EPD.match(line) for line in lines):
        return "epd"
    return "markdown" if _MARKDOWN.search(text) else "text"


def _beside(text: str) -> tuple[Beside, ...]:
    """Return the positions of a text that share their lines with others or with other words."""
    columns = columns_of_positions(text)
    boards = boards_beside(without_boards(text, columns))
    return tuple(sorted((*columns, *boards), key=lambda each: each.diagram.span))


def document_from_text(path: str, text: str, kind: Kind) -> Document:
    """Make a document of text at hand, such as the buffer of an editor. Raises Unreadable for control characters."""
    strange = _CONTROL.search(text)
    if strange:
        line, column = Lines(text).place(strange.start())
        raise Unreadable(path, f"control character 0x{ord(strange[0]):02x} in the text", line, column)
    reader = "text" if kind in MANUSCRIPTS else kind
    module = importlib.import_module(f".readers.{reader}", __package__)
    if kind in ("pgn", "epd"):
        of_puzzles: PuzzleReader = module.read
        masked, puzzles = of_puzzles(text)
        return Document(path, text, masked, (), tuple(puzzles))
    of_blocks: Reader = module.read
    beside = _beside(text) if kind == "text" else ()
    masked, blocks = of_blocks(without_boards(text, beside))
    masked = without_marks(with_files_lettered(in_letters(as_notation(masked))))
    document = Document(path, text, masked, tuple(blocks), beside=beside)
    if kind != "captions":
        return document
    return with_puzzles(replace(document, times=tuple(module.times(text))))
