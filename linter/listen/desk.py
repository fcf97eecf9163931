"""A text that is checked again and again while it is written: only puzzles that changed are read anew.

A puzzle is known by the lines it stands in. Its findings are kept with the text they were
made for, and moved to where those lines stand now.
"""

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, replace

from keyproof.grammar.document import Document, PuzzleText
from keyproof.grammar.scan import statements
from keyproof.grammar.sections import puzzle_texts
from keyproof.grammar.spans import Lines, Span
from keyproof.grammar.statements import Claim
from keyproof.rules import printing, prover
from keyproof.rules.case import Case
from keyproof.rules.finding import Edit, Finding
from keyproof.rules.limits import Cancel
from keyproof.rules.run import findings

from ..options import Options
from ..pipeline import levelled, result_of
from ..results import PuzzleResult

# Million positions for the first answer to a keystroke, a few hundredths of a second.
QUICK = {"native": 0.2, "plain": 0.002}

_UNPROVED = "unproved"  # the rule that names what the effort did not suffice for

Key = tuple[object, ...]


class Cancelled(Exception):
    """The text has changed, so that nobody waits for this check any more."""


@dataclass
class Kept:
    """A puzzle as it was checked: `case` in its text, whose lines `pieces` are, and the findings there."""

    case: Case
    pieces: tuple[Span, ...]
    usage: printing.Usage
    usual: dict[str, str] | None = None
    findings: tuple[Finding, ...] = ()
    result: PuzzleResult | None = None
    settled: bool = False  # more effort would find no more


@dataclass(frozen=True)
class Entry:
    """A puzzle where it stands now."""

    puzzle: PuzzleText
    pieces: tuple[Span, ...]
    kept: Kept

    def findings(self) -> Iterator[Finding]:
        """Yield the findings, moved to where their lines stand now."""
        for finding in self.kept.findings:
            edits = tuple(Edit(self._here(edit.span), edit.text) for edit in finding.repair)
            yield replace(finding, span=self._here(finding.span), repair=edits)

    def _here(self, span: Span) -> Span:
        place = _piece(self.kept.pieces, span)
        if place is None:
            return span
        by = self.pieces[place].start - self.kept.pieces[place].start
        return Span(span.start + by, span.end + by)

    def in_case(self, offset: int) -> int | None:
        """Return the offset in the text of `kept.case` that answers to one in the present text."""
        place = _piece(self.pieces, Span(offset, offset))
        return None if place is None else offset + self.kept.pieces[place].start - self.pieces[place].start


@dataclass(frozen=True)
class Checked:
    """A document and what is known of it so far. `settled`: nothing is left to prove."""

    document: Document
    lines: Lines
    entries: tuple[Entry, ...]
    settled: bool

    def findings(self) -> list[tuple[Finding, PuzzleResult | None]]:
        """Return all findings, each with its puzzle; what may yet be proved is not called unproved."""
        found = [(finding, entry.kept.result) for entry in self.entries for finding in entry.findings()]
        kept = [each for each in found if self.settled or each[0].rule != _UNPROVED]
        return sorted(kept, key=lambda each: each[0].span)

    def at(self, offset: int) -> Entry | None:
        """Return the puzzle whose lines an offset of the text lies in."""
        return next((entry for entry in self.entries if entry.in_case(offset) is not None), None)

    def above(self, offset: int) -> Entry | None:
        """Return the last puzzle that begins above an offset."""
        return max(
            (entry for entry in self.entries if entry.pieces[0].start <= offset),
            key=lambda entry: entry.pieces[0].start,
            default=None,
        )


class Desk:
    """Checks one document after each change."""

    def __init__(self, options: Options) -> None:
        self.options = options
        self._kept: dict[Key, Kept] = {}

    def check(self, document: Document, cancel: Cancel) -> Iterator[Checked]:
        """Yield what is known: first with little effort, then after each further proof. Raises Cancelled."""
        sections = puzzle_texts(document)
        lines = Lines(document.text)
        shared, _ = statements(document.masked, sections.loose)
        told = tuple((claim.kind, claim.text) for claim in shared if isinstance(claim, Claim))
        known: list[tuple[Key, PuzzleText, tuple[Span, ...], Kept]] = []
        for puzzle in sections.puzzles:
            pieces = _pieces(puzzle, lines)
            key = (told, *_key(document, puzzle, pieces))
            kept = self._kept.get(key)
            if kept is None or not self._movable(kept, pieces):
                kept = self._read(document, puzzle, sections.loose, pieces, cancel, quick=True)
                self._kept[key] = kept
            known.append((key, puzzle, pieces, kept))
        usual = printing.usual(kept.usage for _, _, _, kept in known)
        for _, _, _, kept in known:
            self._judge(kept, usual, lines, cancel)
        present = {key for key, _, _, _ in known}
        self._kept = {key: kept for key, kept in self._kept.items() if key in present}
        entries = [Entry(puzzle, pieces, kept) for _, puzzle, pieces, kept in known]
        open_ones = [place for place, entry in enumerate(entries) if not entry.kept.settled]
        open_ones = [place for place in open_ones if entries[place].kept.case.effort < self.options.effort]
        yield Checked(document, lines, tuple(entries), settled=not open_ones)
        while open_ones:
            place = open_ones.pop(0)
            key, puzzle, pieces, _ = known[place]
            kept = self._read(document, puzzle, sections.loose, pieces, cancel, quick=False)
            self._judge(kept, usual, lines, cancel)
            self._kept[key] = kept
            entries[place] = Entry(puzzle, pieces, kept)
            yield Checked(document, lines, tuple(entries), settled=not open_ones)

    def _read(
        self,
        document: Document,
        puzzle: PuzzleText,
        loose: tuple[Span, ...],
        pieces: tuple[Span, ...],
        cancel: Cancel,
        *,
        quick: bool,
    ) -> Kept:
        if cancel.cancelled:
            raise Cancelled
        effort = min(QUICK[prover.backend()], self.options.effort) if quick else self.options.effort
        case = Case(document.text, document.masked, puzzle, loose, effort, self.options.house)
        return Kept(case, pieces, printing.usage(case))

    def _judge(self, kept: Kept, usual: dict[str, str], lines: Lines, cancel: Cancel) -> None:
        """Run the rules, unless they have been run with the same usual forms."""
        if kept.usual == usual:
            return
        if cancel.cancelled:
            raise Cancelled
        kept.case.usual, kept.case.cancel = usual, cancel
        found = findings(kept.case)
        if cancel.cancelled:  # proofs may have stopped short
            kept.case.__dict__.pop("proof", None)
            raise Cancelled
        kept.case.cancel = None
        kept.usual = usual
        kept.findings = tuple(levelled(found, self.options))
        kept.settled = all(finding.rule != _UNPROVED for finding in found)
        kept.result = result_of(kept.case, lines)

    @staticmethod
    def _movable(kept: Kept, pieces: tuple[Span, ...]) -> bool:
        """Tell whether the findings can be moved: all lie in the lines of the puzzle, or nothing has moved."""
        if kept.pieces == pieces:
            return True
        spans = [span for f in kept.findings for span in (f.span, *(edit.span for edit in f.repair))]
        return all(_piece(kept.pieces, span) is not None for span in spans)


def _pieces(puzzle: PuzzleText, lines: Lines) -> tuple[Span, ...]:
    """Return the lines a puzzle stands in, as stretches in order."""
    spans = [puzzle.span, *puzzle.prose, *puzzle.headings, *(diagram.span for diagram in puzzle.diagrams)]
    merged: list[Span] = []
    for span in sorted(spans):
        first = lines.line_span(lines.place(span.start)[0]).start
        last = lines.line_span(lines.place(max(span.start, span.end))[0]).end
        if merged and first <= merged[-1].end:
            merged[-1] = Span(merged[-1].start, max(merged[-1].end, last))
        else:
            merged.append(Span(first, last))
    return tuple(merged)


def _piece(pieces: tuple[Span, ...], span: Span) -> int | None:
    """Return which piece a span lies in."""
    place = bisect_right(pieces, span.start, key=lambda piece: piece.start) - 1
    return place if place >= 0 and span.end <= pieces[place].end else None


def _key(document: Document, puzzle: PuzzleText, pieces: tuple[Span, ...]) -> Key:
    """Return all that the findings of a puzzle depend on."""
    parts = [puzzle.span, *puzzle.prose, *puzzle.headings, *(diagram.span for diagram in puzzle.diagrams)]
    shape = []
    for part in parts:
        place = _piece(pieces, part)
        start = pieces[place].start if place is not None else 0
        shape.append((place, part.start - start, part.end - start))
    return (
        puzzle.title,
        len(puzzle.prose),
        len(puzzle.headings),
        tuple(shape),
        tuple((piece.of(document.text), piece.of(document.masked)) for piece in pieces),
    )
