"""A text that is checked again and again while it is written: only puzzles that changed are read anew.

A puzzle is known by the lines it stands in. Its findings are kept with the text they were
made for, and moved to where those lines stand now.
"""

import re
from collections.abc import Iterator
from functools import cached_property

from keyproof.grammar.document import Document, PuzzleText
from keyproof.grammar.scan import statements
from keyproof.grammar.sections import Sections, puzzle_texts
from keyproof.grammar.spans import Lines, Span, lines_of
from keyproof.grammar.statements import Claim
from keyproof.rules.case import binding, printing
from keyproof.rules.case.case import Case
from keyproof.rules.checks.run import findings
from keyproof.rules.finding import Edit, Finding
from keyproof.rules.proof import prover
from keyproof.rules.proof.limits import Cancel
from keyproof.rules.reading.account import Standing
from msgspec import Struct, field
from msgspec.structs import replace

from .. import companion
from ..choices import choices_for
from ..manuscripts.model import Manuscript
from ..options import Options
from ..pipeline import levelled, nothing_shown, result_of, unbound_text
from ..results import PuzzleResult, Remark
from ..understood import Sentence, otherwise, sentences
from .content import Key, content, piece_at, pieces_of
from .filed import Filed
from .looks import Cancelled, Looks, take_over

# Million positions for the first answer to a keystroke, a few hundredths of a second.
QUICK = {"native": 0.2, "plain": 0.002}

_UNPROVED = "unproved"  # the rule that names what the effort did not suffice for

_NAMES_A_LINE = re.compile(r"\bline \d")


class Kept(Struct):
    """A puzzle as it was checked: `case` in its text, whose lines `pieces` are, and the findings there.

    `around` is what the rules were told of the rest of the file; None: they have not been run.
    """

    case: Case
    pieces: tuple[Span, ...]
    usage: printing.Usage
    around: Key | None = None
    findings: tuple[Finding, ...] = ()
    result: PuzzleResult | None = None
    settled: bool = False  # more effort would find no more
    tops: tuple[int, ...] = ()  # the line each puzzle of the file began on
    read: tuple[Sentence, ...] | None = None  # how its sentences were understood, once somebody has asked
    read_otherwise: dict[Span, tuple[Sentence, ...]] = field(default_factory=dict)  # by the sentence read otherwise

    def sentences(self) -> tuple[Sentence, ...]:
        """Return how each sentence was understood, with places in the text of `case`."""
        if self.read is None:
            self.read = tuple(sentences(self.case))
        return self.read

    def sentences_otherwise(self, sentence: Span) -> tuple[Sentence, ...]:
        """Return how the sentences are understood if one that has two readings is read in the other one."""
        if sentence not in self.read_otherwise:
            self.read_otherwise[sentence] = tuple(sentences(otherwise(self.case, sentence)))
        return self.read_otherwise[sentence]

    def stands(self, pieces: tuple[Span, ...], tops: tuple[int, ...]) -> bool:
        """Tell whether the findings can be shown at these lines, in a file whose puzzles begin on the lines `tops`."""
        if self.tops != tops and any(_NAMES_A_LINE.search(finding.message) for finding in self.findings):
            return False
        spans = [span for f in self.findings for span in (f.span, *(edit.span for edit in f.repair))]
        return self.pieces == pieces or all(piece_at(self.pieces, span) is not None for span in spans)


class Entry(Struct, frozen=True):
    """A puzzle where it stands now."""

    puzzle: PuzzleText
    pieces: tuple[Span, ...]
    kept: Kept

    def findings(self) -> Iterator[Finding]:
        """Yield the findings, moved to where their lines stand now."""
        for finding in self.kept.findings:
            edits = tuple(Edit(self.here(edit.span), edit.text) for edit in finding.repair)
            yield replace(finding, span=self.here(finding.span), repair=edits)

    def unplaced(self) -> Iterator[tuple[Span, Standing]]:
        """Yield the clauses that hold chess and were not placed, moved to where their lines stand now."""
        for entry in self.kept.result.account.entries if self.kept.result is not None else ():
            if entry.standing is not Standing.placed:
                yield self.here(entry.span), entry.standing

    def here(self, span: Span) -> Span:
        """Return where a place in the text of `kept.case` stands now."""
        place = piece_at(self.kept.pieces, span)
        if place is None:
            return span
        by = self.pieces[place].start - self.kept.pieces[place].start
        return Span(span.start + by, span.end + by)

    def sentence(self, inside: int) -> Sentence | None:
        """Return how the sentence at an offset in the text of `kept.case` was understood, None: no move, no claim."""
        found = (each for each in self.kept.sentences() if each.words.span.start <= inside <= each.words.span.end)
        return next(found, None)

    def in_case(self, offset: int) -> int | None:
        """Return the offset in the text of `kept.case` that answers to one in the present text."""
        place = piece_at(self.pieces, Span(offset, offset))
        return None if place is None else offset + self.kept.pieces[place].start - self.pieces[place].start


class Checked(Struct, frozen=True, dict=True):
    """A document and what is known of it so far. `settled`: nothing is left to prove.

    `remarks` say what kept a part of it from being checked.
    """

    document: Document
    lines: Lines
    entries: tuple[Entry, ...]
    settled: bool
    remarks: tuple[Remark, ...] = ()

    @cached_property
    def filed(self) -> Filed:
        """Where the places of the text stand in its file."""
        return Filed(self.document)

    def findings(self) -> list[tuple[Finding, Entry]]:
        """Return all findings, each with its puzzle; what may yet be proved is not called unproved."""
        found = [(finding, entry) for entry in self.entries for finding in entry.findings()]
        kept = [each for each in found if self.settled or each[0].rule != _UNPROVED]
        return sorted(kept, key=lambda each: each[0].span)

    def unplaced(self) -> list[tuple[Span, Standing]]:
        """Return the clauses that hold chess and were not placed."""
        return sorted(each for entry in self.entries for each in entry.unplaced())

    def at(self, offset: int) -> Entry | None:
        """Return the puzzle whose lines an offset of the text lies in."""
        return next((entry for entry in self.entries if entry.in_case(offset) is not None), None)

    def near(self, offset: int) -> Entry | None:
        """Return the puzzle that a place lies in or stands under, else the first."""
        return self.at(offset) or self.above(offset) or next(iter(self.entries), None)

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
        self.looks = Looks(min(QUICK[prover.backend()], options.effort))

    def check(self, document: Document, cancel: Cancel) -> Iterator[Checked]:
        """Yield what is known: with little effort, then again when more is. Raises Cancelled."""
        run = _Run(self, document, cancel)
        for place in run.places:
            if run.kept(place) is None:
                run.read(place, quick=True)
        around = run.around()
        for place in run.places:
            if run.entry(place).kept.around is None:
                run.judge(place, around)
        self._kept = {key: kept for key, kept in self._kept.items() if key in run.keys}
        outdated = [place for place in run.places if run.entry(place).kept.around != around]
        shallow = [place for place in run.places if run.shallow(place)]
        yield run.checked(settled=not outdated and not shallow)
        for place in outdated:
            run.read(place, quick=True)
            run.judge(place, around)
        shallow = [place for place in run.places if run.shallow(place)]
        if outdated:
            yield run.checked(settled=not shallow)
        for left, place in zip(range(len(shallow) - 1, -1, -1), shallow, strict=True):
            run.read(place, quick=False)
            run.judge(place, around)
            yield run.checked(settled=not left)


class _Run:
    """One check of one version of the text."""

    def __init__(self, desk: Desk, document: Document, cancel: Cancel) -> None:
        self.desk = desk
        self.document = document
        self.cancel = cancel
        source = companion.named(document, desk.options.positions)
        try:
            sections, self.remarks = companion.sections_of(document, source)
        except companion.NoPositions as fault:
            sections, self.remarks = puzzle_texts(document), [Remark(Span(0, 0), str(fault))]
        self.choices, more = choices_for(document)
        self.remarks = [*self.remarks, *more]
        self.lines = lines_of(document.text)
        desk.looks.begin(_shared(sections))
        self.sections = binding.bound(document, sections, self._made)
        desk.looks.end()
        self.puzzles = self.sections.puzzles
        self.places = range(len(self.puzzles))
        self.pieces = [pieces_of(puzzle, self.lines) for puzzle in self.puzzles]
        self.filed = Filed(document)
        self.tops = tuple(self.filed.line(puzzle.span.start) for puzzle in self.puzzles)
        shared, _ = statements(document.masked, self.sections.loose)
        told = tuple((claim.kind, claim.text) for claim in shared if isinstance(claim, Claim))
        titles = tuple(span.of(document.masked) for span in self.sections.headings)
        opening = tuple(span.of(document.masked) for span in self.sections.loose)
        self.keys: list[Key] = []
        times: dict[Key, int] = {}  # the same lines may stand in a file twice
        for place, puzzle in enumerate(self.puzzles):
            introduced = opening if not place else ()  # the first puzzle answers for the introduction
            key = (told, titles, introduced, self.choices, *content(document, puzzle, self.pieces[place]))
            times[key] = times.get(key, 0) + 1
            self.keys.append((*key, times[key]))

    def kept(self, place: int) -> Kept | None:
        """Return what is kept of a puzzle and can be shown where it stands now."""
        kept = self.desk._kept.get(self.keys[place])
        return kept if kept is not None and kept.stands(self.pieces[place], self.tops) else None

    def read(self, place: int, *, quick: bool) -> None:
        """Read a puzzle anew."""
        if self.cancel.cancelled:
            raise Cancelled
        options = self.desk.options
        effort = min(QUICK[prover.backend()], options.effort) if quick else options.effort
        case = self._case(place, effort)
        look = self.desk.looks.known(case.puzzle, case.text) if quick else None
        if look is not None and look.loose == case.loose and not case.chosen:
            take_over(look, case)
        case.cancel = self.cancel
        usage = printing.usage(case.signs)
        if self.cancel.cancelled:  # proofs may have stopped short
            raise Cancelled
        case.cancel = None
        self.desk._kept[self.keys[place]] = Kept(case, self.pieces[place], usage)

    def _case(self, place: int, effort: float) -> Case:
        document, house = self.document, self.desk.options.house
        case = Case(document.text, document.masked, self.puzzles[place], _shared(self.sections), effort, house=house)
        case.chosen, case.where = self.choices.of(case), self.filed.where
        return case

    def _made(self, puzzle: PuzzleText) -> Case:
        """Set up a puzzle to see whether its text fits it, within the limits of a quick look."""
        return self.desk.looks.look(self.document, self.lines, puzzle, self.cancel)

    def around(self) -> Key:
        """Return what the rules of one puzzle may ask about the file: its usual signs, and all puzzles in short."""
        kept = [self.entry(place).kept for place in self.places]
        usual = printing.usual(each.usage for each in kept)
        return (tuple(sorted(usual.items())), tuple(_in_short(each.case) for each in kept))

    def judge(self, place: int, around: Key) -> None:
        """Run the rules on a puzzle that was read."""
        if self.cancel.cancelled:
            raise Cancelled
        kept = self.entry(place).kept
        case = kept.case
        case.usual = printing.usual(self.entry(each).kept.usage for each in self.places)
        case.column = tuple(case if each == place else self._stand_in(each) for each in self.places)
        case.cancel = self.cancel
        found = findings(case)
        result = result_of(case, self.lines, self.desk.options)
        if self.cancel.cancelled:  # proofs may have stopped short
            del self.desk._kept[self.keys[place]]
            raise Cancelled
        case.cancel = None
        case.column = ()
        kept.around, kept.result, kept.tops = around, result, self.tops
        kept.findings = tuple(levelled(found, self.desk.options))
        kept.settled = all(finding.rule != _UNPROVED for finding in found)

    def _stand_in(self, place: int) -> Case:
        """Return a puzzle as the others see it: its position and task, in the present text."""
        case = self.entry(place).kept.case
        if case.text is self.document.text:
            return case
        stand_in = self._case(place, case.effort)
        for known in ("board", "stipulation", "reading"):
            stand_in.__dict__[known] = getattr(case, known)
        return stand_in

    def entry(self, place: int) -> Entry:
        """Return a puzzle where it stands now."""
        return Entry(self.puzzles[place], self.pieces[place], self.desk._kept[self.keys[place]])

    def shallow(self, place: int) -> bool:
        """Tell whether more effort may find more about a puzzle."""
        kept = self.entry(place).kept
        return not kept.settled and kept.case.effort < self.desk.options.effort

    def checked(self, *, settled: bool) -> Checked:
        """Return what is known now."""
        entries = tuple(self.entry(place) for place in self.places)
        unbound = unbound_text(self.document, self.sections, ())
        cases = [entry.kept.case for entry in entries]
        remarks = [*self.remarks, *self.choices.unused(cases), *nothing_shown(self.document, cases, unbound)]
        if isinstance(self.document, Manuscript):
            remarks += [Remark(span, message) for span, message in self.document.passed_over]
        return Checked(self.document, self.lines, entries, settled, tuple(sorted(remarks, key=lambda each: each.span)))


def _shared(sections: Sections) -> tuple[Span, ...]:
    """Return the parts of a text that speak of every puzzle; a title may say "All are mates in two"."""
    return (*sections.headings, *sections.loose)


def _in_short(case: Case) -> Key:
    board, reading = case.board, case.reading
    return (
        case.puzzle.title,
        case.puzzle.label,
        board.fen() if board is not None else None,
        case.stipulation,
        bool(reading and reading.mentions),
    )
