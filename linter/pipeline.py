"""From a file to its findings: read, split into puzzles, run the rules on each."""

import re
from collections.abc import Iterable, Iterator
from functools import partial

from keyproof.grammar.document import Document, PuzzleText
from keyproof.grammar.sections import Sections, puzzle_texts
from keyproof.grammar.spans import Lines, Span, lines_of
from keyproof.grammar.traces import PRINTED_MOVE
from keyproof.grammar.words import SPOKEN_SQUARE
from keyproof.rules.board.fens import fen_of
from keyproof.rules.case import binding, printing
from keyproof.rules.case.case import Case
from keyproof.rules.case.column import Column
from keyproof.rules.checks.gate import gate_of
from keyproof.rules.checks.run import findings
from keyproof.rules.checks.trust import account_of
from keyproof.rules.finding import Finding
from msgspec.structs import replace

from . import choices, companion, understood
from .manuscripts.answers import answered
from .manuscripts.model import Manuscript
from .options import Options
from .progress import Told
from .results import FileResult, PlacedFinding, PuzzleResult, Remark, Unbound, Verdict
from .shown_moves import shown_moves
from .sources import Unreadable, document_from_text, from_bytes, kind_of, likely_kind, opened
from .stamps import made_of

_SPEAKS_OF_CHESS = re.compile(rf"{PRINTED_MOVE.pattern}|(?i:{SPOKEN_SQUARE.pattern})")


def check_file(path: str, options: Options, told: Told | None = None) -> FileResult:
    """Proofread one file. Bad input gives a FileResult with its error, never an exception."""
    stamp = ""
    try:
        shown, data, kind = opened(path, options.reading_as, options.name)
        stamp = made_of(shown, data)  # before any other file is read: one that changes meanwhile makes it out of date
        document = from_bytes(shown, data, kind)
    except Unreadable as fault:
        return FileResult(
            fault.path, error=fault.message, error_line=fault.line, error_column=fault.column, made_of=stamp
        )
    return replace(check_document(document, options, told), made_of=stamp)


def check_text(path: str, text: str, options: Options) -> FileResult:
    """Proofread a text that is already decoded; `path` names it and tells its kind. Never raises for bad input."""
    kind = options.reading_as or kind_of(path) or likely_kind(text)
    try:
        document = document_from_text(path, text, kind)
    except Unreadable as fault:
        return FileResult(path, error=fault.message, error_line=fault.line, error_column=fault.column)
    return check_document(document, options)


def check_piece(path: str, data: bytes, first_line: int, options: Options) -> FileResult:
    """Proofread a part of a file whose kind says itself where a puzzle begins. Never raises for bad input."""
    stamp = made_of(path, data)
    try:
        document = from_bytes(options.name or path, data, options.reading_as or kind_of(path))
    except Unreadable as fault:
        line = fault.line + first_line - 1
        return FileResult(fault.path, error=fault.message, error_line=line, error_column=fault.column, made_of=stamp)
    return replace(check_document(document, options, first_line=first_line), made_of=stamp)


def check_document(
    document: Document, options: Options, told: Told | None = None, *, first_line: int = 1
) -> FileResult:
    """Proofread a document; `told` is called after each of its puzzles.

    `first_line` is the number of its first line, where it is part of a file.
    """
    lines = lines_of(document.text) if first_line == 1 else Lines(document.text, first_line)
    puzzles: list[PuzzleResult] = []
    placed: list[PlacedFinding] = []
    sections, remarks, looked_at = _parted(document, options)
    manuscript = document if isinstance(document, Manuscript) else None
    remarks += [Remark(Span(0, 0), note) for note in document.notes]
    chosen, more = choices.choices_for(document)
    cases = cases_of(document, sections, options)
    for case in cases:
        case.chosen = chosen.of(case)
    _with_read(cases, looked_at)
    remarks += [*more, *chosen.unused(cases)]
    usual = printing.usual(printing.usage(case.signs) for case in cases)
    for index, case in enumerate(cases):
        if told is not None:
            told(index, len(cases))
        case.usual, case.where = usual, partial(_where, manuscript, lines)
        placed.extend(PlacedFinding(found, index) for found in levelled(findings(case), options))
        found = result_of(case, lines, options)
        if manuscript is not None:
            start = manuscript.in_file(case.puzzle.span).start
            found = replace(found, line=manuscript.lines.place(start)[0])
        puzzles.append(found)
    placed.sort(key=lambda each: each.finding.span)
    if manuscript is not None:
        placed, said = answered(manuscript, placed)
        remarks += said
    remarks += companion.contradictions(cases, companion.named(document, options.positions))
    unbound = unbound_text(document, sections, cases)
    remarks += nothing_shown(document, cases, unbound)
    return FileResult(
        document.path,
        document.text,
        puzzles=tuple(puzzles),
        findings=tuple(placed),
        remarks=tuple(sorted(remarks, key=lambda remark: remark.span)),
        times=document.times,
        manuscript=manuscript,
        unbound=unbound,
        first_line=first_line,
    )


def _where(manuscript: Manuscript | None, lines: Lines, offset: int) -> str:
    """Return where a person finds an offset of a text, as `FileResult.where`."""
    named = manuscript.place(offset) if manuscript is not None else None
    return named or f"line {lines.place(offset)[0]}"


def sections_of(document: Document, options: Options) -> tuple[Sections, list[Remark]]:
    """Part a document into its puzzles, by what can be played on each diagram, with what kept it from being done."""
    sections, remarks, _ = _parted(document, options)
    return sections, remarks


def _parted(document: Document, options: Options) -> tuple[Sections, list[Remark], list[Case]]:
    """Do what `sections_of` says; return the puzzles too that were read to find it out."""
    source = companion.named(document, options.positions)
    looked_at: list[Case] = []
    try:
        sections, remarks = companion.sections_of(document, source)
    except companion.NoPositions as fault:
        if options.positions is not None:
            raise
        sections, remarks = puzzle_texts(document), [Remark(Span(0, 0), str(fault))]
    shared = (*sections.headings, *sections.loose)

    def made(puzzle: PuzzleText) -> Case:
        case = Case(document.text, document.masked, puzzle, shared, options.effort, house=options.house)
        looked_at.append(case)
        return case

    return binding.bound(document, sections, made), remarks, looked_at


def _with_read(cases: list[Case], looked_at: Iterable[Case]) -> None:
    """Put puzzles that were read before, and about which nothing has changed, in the places of those still to be read.

    Which way a sentence is meant, where an author has chosen it, is not known before.
    """
    before = {id(case.puzzle): case for case in looked_at}
    for place, case in enumerate(cases):
        same = before.get(id(case.puzzle))
        if same is not None and not case.chosen and same.loose == case.loose:
            same.column, same.tables_folder = case.column, case.tables_folder
            cases[place] = same


def unbound_text(document: Document, sections: Sections, cases: Iterable[Case]) -> Unbound:
    """Return the text of a document that is read on no position."""
    of_puzzles = sorted(span for case in cases if not case.playable for span in case.puzzle.prose)
    of_none = tuple(span for span in sections.loose if _SPEAKS_OF_CHESS.search(document.masked, *span))
    return Unbound(tuple(of_puzzles), of_none)


def nothing_shown(document: Document, cases: Iterable[Case], unbound: Unbound) -> Iterator[Remark]:
    """Say of a file that speaks of chess and shows no position at all that nothing of it was checked."""
    if unbound.of_none and not any(case.puzzle.diagrams for case in cases):
        message = "no position is shown here, so that nothing of this was checked: name its file with --positions"
        yield Remark(unbound.of_none[0], message)


def cases_of(document: Document, sections: Sections, options: Options) -> list[Case]:
    """Return the puzzles of a document, ready to be read."""
    shared = (*sections.headings, *sections.loose)  # a title may say "All are mates in two"
    cases = [
        Case(document.text, document.masked, puzzle, shared, options.effort, house=options.house)
        for puzzle in sections.puzzles
    ]
    column = Column(cases)
    for case in cases:
        case.column, case.tables_folder = column, options.tables
    return cases


def levelled(found: Iterable[Finding], options: Options) -> Iterator[Finding]:
    """Give findings the levels that the settings ask for, and drop those of rules that are off."""
    for finding in found:
        level = options.levels.get(finding.rule, finding.level)
        if level is not None:
            yield finding if level is finding.level else replace(finding, level=level)


def result_of(case: Case, lines: Lines, options: Options) -> PuzzleResult:
    """Sum up what was read and proved of a puzzle, and on demand how. `lines` are those of its file."""
    puzzle = case.puzzle
    printed = [diagram.span for diagram in puzzle.diagrams] if puzzle.asked is None else []
    reading, proof = case.reading, case.proof
    verdict: Verdict = "no-claim"
    keys: tuple[str, ...] = ()
    if proof is not None and reading is not None:
        verdict = "unsound" if proof.verdict == "impossible" else proof.verdict
        keys = tuple(reading.diagram.board.san(key) for key in proof.keys)
    gate = gate_of(case)
    return PuzzleResult(
        line=lines.place(puzzle.span.start)[0],
        title=puzzle.title,
        fen=fen_of(reading.diagram.board) if reading is not None else None,
        stipulation=case.stipulation.symbol if case.stipulation is not None else None,
        verdict=verdict,
        keys=keys,
        move_mentions=gate.mentioned,
        checked=gate.trusted,
        account=account_of(case),  # after the gate has held back what it did
        start=puzzle.span.start,
        reading=tuple(understood.sentences(case)) if options.show_reading else None,
        parts=tuple(sorted((*puzzle.headings, *puzzle.prose, *puzzle.orders, *printed))),
        moves=tuple(shown_moves(case)) if options.show_moves else (),
        supposed=None if case.supposed is None else case.supposed.said(case.text),
    )
