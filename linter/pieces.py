"""What is checked at a time: a file, or a stretch of a large file whose records stand by themselves.

A file of EPD or PGN may hold an archive. It is read a stretch at a time, so that it takes no more memory than a small
one, and so that many processes can share its puzzles. What rules ask of a whole file (a position that stands in it
twice, the form of a sign that it prints most often) is then asked of each stretch; `NOTE` says so.
"""

import codecs
import os
import re
from collections.abc import Iterable, Iterator

from msgspec import Struct

from .choices import path_beside
from .options import Options
from .results import FileResult
from .sources import STANDARD_INPUT, kind_of

LARGE = 1 << 18
"""Bytes of a file that is read a stretch at a time."""

RECORDS = 200
"""Puzzles of a stretch at the least."""

_OF_RECORD = 200  # bytes, about

NOTE = (
    f"a large file, checked in stretches of {RECORDS} records: positions that are repeated, and forms of a sign that "
    "differ, were looked for within each of them; keyproof survey looks for repeats in the whole"
)

_WIDE = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)  # their line ends are no bytes of their own
_TAG = re.compile(rb'\s*\[\s*\w+\s+"')


class Piece(Struct, frozen=True):
    """A file to be read (`data` is None), or a stretch of one, which begins with its line `first_line`.

    `number` counts the pieces of a file from 0; `last` is the one that ends it.
    """

    path: str
    data: bytes | None = None
    first_line: int = 1
    number: int = 0
    last: bool = True


def pieces(found: Iterable[str | FileResult], options: Options) -> Iterator[Piece | FileResult]:
    """Yield what is to be checked of each path, in order; a result among the paths as it is."""
    for path in found:
        if isinstance(path, FileResult):
            yield path
        elif _in_stretches(path, options):
            yield from _stretches(path, options)
        else:
            yield Piece(path)


def stretches_of(path: str | FileResult, options: Options) -> int:
    """Return how many pieces a path will come to, about."""
    if isinstance(path, FileResult) or not _in_stretches(path, options):
        return 1
    return 1 + os.path.getsize(path) // (RECORDS * _OF_RECORD)


def _in_stretches(path: str, options: Options) -> bool:
    if path == STANDARD_INPUT or (options.reading_as or kind_of(path)) not in ("epd", "pgn"):
        return False
    try:
        if not os.path.isfile(path) or os.path.getsize(path) < LARGE or os.path.exists(path_beside(path)):
            return False  # choices of readings are those of a whole file
        with open(path, "rb") as stream:
            return not stream.read(2).startswith(_WIDE)
    except OSError:
        return False  # whoever reads it says why


def _stretches(path: str, options: Options) -> Iterator[Piece | FileResult]:
    begins = _begins_game if (options.reading_as or kind_of(path)) == "pgn" else _begins_record
    number, line, first, records, before = 0, 0, 1, 0, b""
    held: list[bytes] = []
    try:
        with open(path, "rb") as stream:
            for text in stream:
                line += 1
                if begins(text, before):
                    if records >= RECORDS:
                        yield Piece(path, b"".join(held), first, number, last=False)
                        number, first, records, held = number + 1, line, 0, []
                    records += 1
                held.append(text)
                before = text
    except OSError as fault:
        yield FileResult(path, error=fault.strerror or str(fault), error_line=line + 1)
        return
    yield Piece(path, b"".join(held), first, number)


def _begins_record(line: bytes, before: bytes) -> bool:
    return bool(line.strip()) and not line.lstrip().startswith((b"#", b";", b"%"))


def _begins_game(line: bytes, before: bytes) -> bool:
    return _TAG.match(line) is not None and not before.strip()
