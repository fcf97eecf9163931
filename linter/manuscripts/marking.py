"""Marked copies: every finding as a comment at its words, every repair as a change to accept or refuse.

The file that was checked is read once more; what is written is a copy of it.
"""

import os
from bisect import bisect_right
from collections.abc import Sequence
from datetime import UTC, datetime
from importlib import import_module
from pathlib import Path
from typing import Any, cast

from keyproof.grammar.spans import Span
from keyproof.rules.finding import Edit, Finding
from msgspec import Struct

from ..reports import play, text
from ..results import FileResult
from ..writing import write_whole
from .assemble import Assembled
from .model import Manuscript, Piece, Refused
from .reading import INSTALL, ManuscriptKind, taken_apart

KINDS = ("docx", "odt", "pdf")


class NotMarked(Exception):
    """No copy was written; the message says why."""


class Mark(Struct, frozen=True):
    """A comment: the words it stands at and its paragraphs. `edits` are the changes to offer with it."""

    span: Span
    words: tuple[str, ...]
    edits: tuple[Edit, ...] = ()


class Marks(Struct, frozen=True):
    """All that is written into one copy. `when` is the date of it, as XML has it."""

    marks: tuple[Mark, ...]
    when: str


class Placing:
    """Leads from offsets in the text to the pieces of a manuscript."""

    def __init__(self, assembled: Assembled) -> None:
        self.text = assembled.document.text
        self.pieces = assembled.pieces
        self._starts = [start for start, _ in assembled.pieces]

    def within(self, span: Span) -> list[tuple[Piece, int, int]]:
        """Return the pieces of a span that stand in the file, each with the part of it, as offsets in the piece."""
        found = []
        index = max(bisect_right(self._starts, span.start) - 1, 0)
        for start, piece in self.pieces[index:]:
            if start >= span.end:
                break
            first, last = max(span.start - start, 0), min(span.end - start, len(piece.text))
            if first < last and piece.node is not None:
                found.append((piece, first, last))
        return found

    def beside(self, offset: int) -> tuple[Piece, int] | None:
        """Return the piece before an offset, else the one behind it, and the place in it."""
        if before := self.within(Span(max(offset - 1, 0), offset)):
            return before[-1][0], before[-1][2]
        if behind := self.within(Span(offset, offset + 1)):
            return behind[0][0], behind[0][1]
        return None

    def shown(self, span: Span) -> Span:
        """Return a span with something in it that stands in the file: itself, or else the word before or behind it."""
        if self.within(span):
            return span
        before = [
            (start, piece)
            for start, piece in self.pieces
            if piece.node is not None and piece.text.strip() and start < span.end
        ]
        behind = [(start, piece) for start, piece in self.pieces if piece.node is not None and start >= span.end]
        if not before and not behind:
            raise NotMarked("nothing in the file can carry a comment")
        start, piece = before[-1] if before else behind[0]
        end = min(start + len(piece.text), span.start) if before else start + len(piece.text)
        word = self.text[start:end].rstrip()
        first = start + max(word.rfind(" "), word.rfind("\n"), word.rfind("\t")) + 1
        return Span(first, max(start + len(word), first + 1))


def check_target(path: str, target: str, kind: str | None) -> None:
    """Refuse a copy that would be no copy, or of a kind that cannot be marked. Raises NotMarked."""
    if kind not in KINDS:
        raise NotMarked(f"{path}: comments are written into .docx, .odt and PDF; for other kinds make a sheet")
    if Path(target).suffix.lower() != Path(path).suffix.lower():
        raise NotMarked(f"{target}: a marked copy is of the same kind as {path}")
    if os.path.exists(target) and os.path.samefile(path, target):
        raise NotMarked(f"{target} is the file that is checked: give the copy another name")


def write_marked(result: FileResult, kind: str, target: str, now: datetime | None = None) -> int:
    """Write a marked copy of the file that was checked; return the number of comments. Raises NotMarked."""
    try:
        data = Path(result.path).read_bytes()
        assembled, made = taken_apart(result.path, data, cast(ManuscriptKind, kind))
        if assembled.document.text != result.text:
            raise NotMarked(f"{result.path} was changed while it was checked: nothing is written")
        marks = marks_of(result, assembled.document, now or datetime.now(UTC))
        module = import_module(f".{kind}_marks", __package__)
        written = module.marked(data, made, Placing(assembled), marks)
        write_whole(target, written)
    except Refused as refusal:
        raise NotMarked(f"{result.path}: {refusal.message}") from None
    except ModuleNotFoundError as missing:
        raise NotMarked(f"{result.path}: {missing.name} is needed to mark it: {INSTALL}") from None
    except OSError as fault:
        path = result.path if fault.filename == result.path else target  # never that of a copy under way
        raise NotMarked(f"{path}: {fault.strerror or fault}") from None
    return len(marks.marks)


def marks_of(result: FileResult, document: Manuscript, now: datetime) -> Marks:
    """Return what is to be written: not what an earlier comment at the same words has said already."""
    found = []
    taken: list[Edit] = []
    for placed in result.findings:
        finding = placed.finding
        if any(_same(finding, known) for known in document.ours):
            continue
        puzzle = None if placed.puzzle is None else result.puzzles[placed.puzzle]
        words = [f"{finding.message} [{finding.rule}]"]
        if finding.evidence is not None:
            words.append(play.shown(finding.evidence, puzzle))
        if finding.repair:
            words.append(f"repair: {text.repair(result.text, finding.repair)}")
        edits = tuple(edit for edit in finding.repair if edit not in taken)
        if any(_touch(edit.span, other.span) for edit in edits for other in taken):
            edits = ()
        taken.extend(edits)
        found.append(Mark(finding.span, tuple(words), edits))
    return Marks(tuple(found), now.strftime("%Y-%m-%dT%H:%M:%SZ"))


def _same(finding: Finding, known: Any) -> bool:
    touches = known.span.start <= finding.span.end and finding.span.start <= known.span.end
    return touches and (known.rule, known.message) == (finding.rule, finding.message)


def _touch(one: Span, other: Span) -> bool:
    return one.start <= other.end and other.start <= one.end


def edges(marks: Sequence[tuple[Mark, Span]]) -> list[int]:
    """Return every offset at which something is to stand or to begin or end, from the last to the first."""
    found = {edge for _, span in marks for edge in span}
    found |= {edge for mark, _ in marks for edit in mark.edits for edge in edit.span}
    return sorted(found, reverse=True)
