"""The sections of the page: each file whole and in order, with diagrams, findings and proofs beside their lines."""

from collections.abc import Callable, Iterator, Sequence
from itertools import count

import chess
from keyproof.grammar.spans import Lines
from keyproof.rules.board.stipulation import Stipulation
from keyproof.rules.finding import Finding, Level
from keyproof.rules.proof import prover
from keyproof.rules.proof.proof import Proof
from msgspec import Struct

from ..options import Options
from ..reports.position import count as men_count
from ..reports.proof import asked
from ..reports.terminal import escape
from ..reports.text import counts, repair, taken_from
from ..results import FileResult, PuzzleResult
from ..sources import document_from_text, kind_of, likely_kind
from .boards import Boards
from .markup import Markup, tag
from .stretches import Stretch, stretches
from .text import Author, Marked
from .tree import ProofTree

LONG = 30  # lines of text that a page would be left half empty for, to keep them together

_VERDICTS = {
    "sound": "Proved sound",
    "unsound": "Proved unsound",
    "unproved": "Not proved within the effort",
    "no-claim": "Nothing to prove",
}


class Entry(Struct, frozen=True):
    """A puzzle in the list of contents."""

    title: str
    place: str
    verdict: str
    findings: int


class _Note(Struct, frozen=True):
    """A finding, or a remark, with its number on the page and the puzzle it belongs to."""

    mark: Marked
    puzzle: int | None
    finding: Finding | None


class Column:
    """Makes the sections of one page, and keeps what its list of contents needs."""

    def __init__(self, options: Options, told: Callable[[], None]) -> None:
        self.options = options
        self.told = told
        self.boards = Boards()
        self.entries: list[Entry] = []
        self._numbers = count(1)

    def file(self, result: FileResult) -> Markup:
        """Return the section of one file."""
        heading = tag("h2", escape(result.path), class_="path")
        if result.error is not None:
            return tag("section", heading, tag("p", f"Not checked: {escape(result.error)}", class_="failed"))
        kind = self.options.reading_as or kind_of(result.path) or likely_kind(result.text)
        document = result.manuscript or document_from_text(result.path, result.text, kind)
        author = Author(document, markdown=kind in ("markdown", "captions"))
        file = _File(self, result, author, self._notes(result), len(self.entries))
        self.entries.extend(file.entries())
        parts = [file.stretch(stretch) for stretch in stretches(result)]
        if not result.puzzles:
            parts.insert(0, tag("p", "No puzzle was found in this file.", class_="failed"))
        return tag("section", heading, parts)

    def _notes(self, result: FileResult) -> list[_Note]:
        """Return all that is said of a file, in the order of its text."""
        said: list[tuple[Finding | None, int | None, Marked]] = [
            (placed.finding, placed.puzzle, _marked(placed.finding)) for placed in result.findings
        ]
        said += [(None, None, Marked(0, remark.span, Level.note, remark.message)) for remark in result.remarks]
        said.sort(key=lambda each: each[2].span)
        return [
            _Note(Marked(next(self._numbers), mark.span, mark.level, mark.message), puzzle, finding)
            for finding, puzzle, mark in said
        ]


def _marked(finding: Finding) -> Marked:
    return Marked(0, finding.span, finding.level, finding.message)


class _File:
    def __init__(
        self, column: Column, result: FileResult, author: Author, notes: Sequence[_Note], entries_above: int
    ) -> None:
        self.column = column
        self.result = result
        self.author = author
        self.notes = notes
        self.entries_above = entries_above
        self.lines = Lines(result.text)

    def entries(self) -> Iterator[Entry]:
        """Yield the puzzles for the list of contents."""
        for index, puzzle in enumerate(self.result.puzzles):
            findings = sum(note.puzzle == index for note in self.notes)
            yield Entry(_title(puzzle), self._place(index), _VERDICTS[puzzle.verdict], findings)

    def _place(self, index: int) -> str:
        return f"puzzle{self.entries_above + index + 1}"

    def stretch(self, stretch: Stretch) -> Markup | None:
        """Return one stretch of the text, with what belongs beside it; None if there is nothing in it."""
        notes = [note for note in self.notes if self._holds(stretch, note)]
        marks = [note.mark for note in notes]
        index = stretch.puzzle
        puzzle = self.result.puzzles[index] if index is not None else None
        rows = self.author.rows(stretch.span, marks, puzzle.moves if puzzle is not None else ())
        while rows and not notes and not self._inked(rows[0][0]):
            rows.pop(0)
        if puzzle is None or index is None:
            listed = self._listed(notes)
            name = "between long" if len(rows) > LONG else "between"
            return tag("div", self._text(rows), listed, class_=name) if rows or listed is not None else None
        headed = 0
        while headed < len(rows) and stretch.opens and self.author.heading(rows[headed][0]):
            headed += 1
        proof = self._proof(puzzle) if stretch.plays else None
        name = self._place(index)
        faulty = any(note.puzzle == index for note in self.notes)
        return tag(
            "article",
            tag(
                "div",
                self._head(rows[:headed], puzzle, name) if stretch.opens else None,
                self._diagram(puzzle, name, opens=stretch.opens),
                tag(
                    "div",
                    self._text(rows[headed:]),
                    tag("p", self._checked(puzzle), class_="checked") if stretch.opens else None,
                    class_="main",
                ),
                class_="top long" if len(rows) > LONG else "top",
            ),
            self._listed(notes),
            ProofTree(proof).markup() if proof is not None else None,
            id=name if stretch.opens else None,
            class_="faulty" if faulty else "clean",
            aria_labelledby=f"{name}-title" if stretch.opens else None,
            aria_label=None if stretch.opens else f"{_title(puzzle)}, continued",
        )

    def _holds(self, stretch: Stretch, note: _Note) -> bool:
        """Tell whether a note stands beside a stretch: where its place begins; at the end of a text, the last lines."""
        at, span = note.mark.span.start, stretch.span
        if span.start == span.end:
            return not self.result.text and stretch.opens
        return span.start <= at < span.end or at == span.end == len(self.result.text)

    def _inked(self, number: int) -> bool:
        return bool(self.lines.line_span(number).of(self.result.text).strip())

    @staticmethod
    def _text(rows: Sequence[tuple[int, Markup]]) -> Markup | None:
        return tag("div", _rows(rows), class_="author") if rows else None

    def _head(self, rows: Sequence[tuple[int, Markup]], puzzle: PuzzleResult, name: str) -> Markup:
        """Return the title: as the author printed it, where it is a heading."""
        if not rows:
            told = bool(puzzle.title) and _begins_with(self.result.text[puzzle.start :], puzzle.title)
            return tag("h3", _title(puzzle), id=f"{name}-title", class_="head given told" if told else "head given")
        return tag("h3", _rows(rows), id=f"{name}-title", class_="head author")

    def _diagram(self, puzzle: PuzzleResult, name: str, *, opens: bool) -> Markup:
        if puzzle.fen is None:
            return tag("p", "No position that can be played from was found.", class_="diagram")
        board = chess.Board(puzzle.fen)
        stipulation = Stipulation.parse(puzzle.stipulation) if puzzle.stipulation else None
        caption = asked(stipulation, board.turn) + taken_from(puzzle) if stipulation is not None else "Nothing is asked"
        title = _title(puzzle)
        above = None if opens else tag("a", title, href=f"#{name}")
        return tag(
            "figure",
            self.column.boards.board(board, f"Diagram of {title}"),
            tag(
                "figcaption",
                tag("span", above, None if above is None else ". ", f"{caption} {men_count(board)}", class_="asked"),
                tag("span", class_="state", aria_live="polite"),
            ),
            class_="diagram",
        )

    def _proof(self, puzzle: PuzzleResult) -> Proof | None:
        self.column.told()
        if puzzle.fen is None or puzzle.stipulation is None:
            return None
        stipulation = Stipulation.parse(puzzle.stipulation)
        return prover.prove(chess.Board(puzzle.fen), stipulation, effort=self.column.options.effort)

    @staticmethod
    def _checked(puzzle: PuzzleResult) -> str:
        verdict = _VERDICTS[puzzle.verdict]
        if puzzle.fen is None:
            return "Nothing was checked: there is no position."
        if not puzzle.move_mentions:
            return f"{verdict}. No move is mentioned."
        checked = f"{verdict}. Checked {puzzle.checked:,} of {puzzle.move_mentions:,} move mentions."
        account = puzzle.account
        return checked if account.placed == account.total else f"{checked} {counts(account)}."

    def _listed(self, notes: Sequence[_Note]) -> Markup | None:
        if not notes:
            return None
        return tag("ol", map(self._note, notes), class_="notes", aria_label="Findings")

    def _note(self, note: _Note) -> Markup:
        mark, finding = note.mark, note.finding
        puzzle = self.result.puzzles[note.puzzle] if note.puzzle is not None else None
        place = self.result.where(mark.span.start)
        label = f"{mark.number}, in the text"
        link = tag("a", str(mark.number), href=f"#place{mark.number}", class_="number", aria_label=label)
        repaired = None
        if finding is not None and finding.repair:
            repaired = repair(self.result.text, finding.repair, finding.span, self.result.place)
        return tag(
            "li",
            tag(
                "p",
                link,
                tag("span", f" {place}, ", class_="line"),
                tag("strong", mark.level.name, class_="level"),
                f": {escape(mark.message)} ",
                tag("span", f"[{finding.rule}]", class_="rule") if finding is not None else None,
            ),
            tag("p", f"Repair: {repaired}", class_="repair") if repaired is not None else None,
            self.column.boards.evidence(finding.evidence, puzzle) if finding is not None and finding.evidence else None,
            id=f"note{mark.number}",
            class_=mark.level.name,
        )


def _title(puzzle: PuzzleResult) -> str:
    return puzzle.title or "A puzzle without a title"


def _begins_with(text: str, title: str) -> bool:
    """Tell whether a text has its title at its beginning, though not as a heading."""
    return text.lstrip(" \t\r\n*_").startswith(title.rstrip(". "))


def _rows(rows: Sequence[tuple[int, Markup]]) -> Iterator[str]:
    for _, row in rows:
        yield row
        yield "\n"
