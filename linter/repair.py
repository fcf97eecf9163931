"""Apply the repairs that findings carry, and show them as a unified diff.

Everything else in a file stays byte for byte: a byte order mark, line ends, trailing blanks.
"""

import difflib
import os
from collections.abc import Iterator, Sequence
from pathlib import Path

from keyproof.grammar.spans import Lines, Span
from keyproof.rules.finding import Edit, Finding
from msgspec import Struct

from .decoding import Undecodable, decode
from .options import Options
from .pipeline import check_text
from .results import FileResult
from .writing import Changed, write_whole

_MOST_ROUNDS = 8  # a repair may bring a fault to light that has its own; two that undo each other end here


class Repaired(Struct, frozen=True):
    """A text with repairs applied: `result` is what a check says of it, `count` how many findings were repaired."""

    path: str
    before: str
    after: str
    count: int
    result: FileResult

    @property
    def changed(self) -> bool:
        """True if there was something to repair."""
        return self.before != self.after


class NotWritten(Exception):
    """A repaired file could not be put in its place; the message says why."""


def repaired(result: FileResult, options: Options) -> Repaired:
    """Apply every repair of a file's findings, and those of the findings that come up then.

    Of two repairs that touch the same words the first in the text is applied; the other follows in the
    next round if it is still wanted. A round that would leave more findings than before is not taken.
    """
    before, count = result.text, 0
    current = result
    for _ in range(_MOST_ROUNDS):
        findings = [placed.finding for placed in current.findings if placed.finding.repair]
        edits, used = _compatible(findings)
        if not edits:
            break
        text = applied(current.text, edits)
        after = check_text(result.path, text, options)
        if after.error is not None or _weight(after) >= _weight(current):
            break
        current, count = after, count + used
    return Repaired(result.path, before, current.text, count, current)


def _weight(result: FileResult) -> tuple[int, int]:
    """Weigh what a check found: the levels of all findings, then how many of them could be repaired."""
    levels = sum(int(placed.finding.level) for placed in result.findings)
    return levels, sum(bool(placed.finding.repair) for placed in result.findings)


def _compatible(findings: Sequence[Finding]) -> tuple[list[Edit], int]:
    """Return the edits of the findings that do not touch each other, each finding whole or not at all."""
    taken: list[Edit] = []
    used = 0
    for finding in sorted(findings, key=lambda finding: finding.span):
        new = [edit for edit in finding.repair if edit not in taken]
        if all(not _touch(edit.span, other.span) for edit in new for other in taken):
            taken.extend(new)
            used += 1
    return taken, used


def _touch(one: Span, other: Span) -> bool:
    if one.start == one.end or other.start == other.end:  # an insertion may stand at the edge of a replacement
        return one == other or one.start < other.start < one.end or other.start < one.start < other.end
    return one.start < other.end and other.start < one.end


def applied(text: str, edits: Sequence[Edit]) -> str:
    """Return `text` with edits made; no two may touch."""
    for edit in sorted(edits, key=lambda edit: edit.span, reverse=True):
        text = text[: edit.span.start] + edit.text + text[edit.span.end :]
    return text


def diff(repair: Repaired) -> Iterator[str]:
    """Yield the lines of a unified diff, each with the line end it has in the file."""
    path = os.path.normpath(repair.path).lstrip("/")
    names = (f"a/{path}", f"b/{path}")
    for line in difflib.unified_diff(_lines(repair.before), _lines(repair.after), *names):
        yield line if line.endswith(("\n", "\r")) else f"{line}\n\\ No newline at end of file\n"


def _lines(text: str) -> list[str]:
    starts = Lines(text).starts
    ends = [*starts[1:], len(text)]
    return [text[start:end] for start, end in zip(starts, ends, strict=True) if start < end]


def write(repair: Repaired) -> None:
    """Put the repaired text in the file's place in one step. NotWritten if that fails or the file has changed since."""
    path = Path(repair.path)
    try:
        found = path.read_bytes()
        read = decode(found)
        if read.text != repair.before:
            raise Changed
        write_whole(path, read.encoded(repair.after), found)
    except (Changed, Undecodable):
        raise NotWritten(f"{repair.path} was changed while it was checked: nothing is written") from None
    except UnicodeEncodeError as fault:
        sign = fault.object[fault.start : fault.end]
        raise NotWritten(f"{repair.path} has no {sign!r} in its encoding: save it as UTF-8 first") from None
    except OSError as fault:
        raise NotWritten(f"{repair.path} cannot be written: {fault.strerror or fault}") from None
