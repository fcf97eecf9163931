"""From a file to its findings: read, split into puzzles, run the rules on each."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from keyproof.grammar.document import Document
from keyproof.grammar.sections import Sections
from keyproof.grammar.spans import Lines, lines_of
from keyproof.rules.case import printing
from keyproof.rules.case.case import Case
from keyproof.rules.checks.run import findings
from keyproof.rules.finding import Finding
from keyproof.rules.reading.reading import State

from . import companion, understood
from .manuscripts.answers import answered
from .manuscripts.model import Manuscript
from .options import Options
from .results import FileResult, PlacedFinding, PuzzleResult, Verdict
from .sources import Unreadable, document_from_text, kind_of, read


def check_file(path: str, options: Options) -> FileResult:
    """Proofread one file. Bad input gives a FileResult with its error, never an exception."""
    try:
        document = read(path, options.reading_as, options.name)
    except Unreadable as fault:
        return FileResult(fault.path, error=fault.message, error_line=fault.line, error_column=fault.column)
    return check_document(document, options)


def check_text(path: str, text: str, options: Options) -> FileResult:
    """Proofread a text that is already decoded; `path` names it and tells its kind. Never raises for bad input."""
    kind = options.reading_as or kind_of(path) or "text"
    try:
        document = document_from_text(path, text, kind)
    except Unreadable as fault:
        return FileResult(path, error=fault.message, error_line=fault.line, error_column=fault.column)
    return check_document(document, options)


def check_document(document: Document, options: Options) -> FileResult:
    """Proofread a document."""
    lines = lines_of(document.text)
    puzzles: list[PuzzleResult] = []
    placed: list[PlacedFinding] = []
    sections, remarks = companion.sections_of(document, options.positions)
    manuscript = document if isinstance(document, Manuscript) else None
    cases = cases_of(document, sections, options)
    usual = printing.usual(printing.usage(case.signs) for case in cases)
    for index, case in enumerate(cases):
        case.usual = usual
        placed.extend(PlacedFinding(found, index) for found in levelled(findings(case), options))
        found = result_of(case, lines, show_reading=options.show_reading)
        if manuscript is not None:
            start = manuscript.in_file(case.puzzle.span).start
            found = replace(found, line=manuscript.lines.place(start)[0])
        puzzles.append(found)
    placed.sort(key=lambda each: each.finding.span)
    if manuscript is not None:
        placed, told = answered(manuscript, placed)
        remarks += told
    remarks += companion.contradictions(cases, options.positions)
    return FileResult(
        document.path,
        document.text,
        puzzles=tuple(puzzles),
        findings=tuple(placed),
        remarks=tuple(sorted(remarks, key=lambda remark: remark.span)),
        times=document.times,
        manuscript=manuscript,
    )


def cases_of(document: Document, sections: Sections, options: Options) -> list[Case]:
    """Return the puzzles of a document, ready to be read."""
    shared = (*sections.headings, *sections.loose)  # a title may say "All are mates in two"
    cases = [
        Case(document.text, document.masked, puzzle, shared, options.effort, options.house)
        for puzzle in sections.puzzles
    ]
    for case in cases:
        case.column, case.tables_folder = cases, options.tables
    return cases


def levelled(found: Iterable[Finding], options: Options) -> Iterator[Finding]:
    """Give findings the levels that the settings ask for, and drop those of rules that are off."""
    for finding in found:
        level = options.levels.get(finding.rule, finding.level)
        if level is not None:
            yield finding if level is finding.level else replace(finding, level=level)


def result_of(case: Case, lines: Lines, *, show_reading: bool = False) -> PuzzleResult:
    """Sum up what was read and proved of a puzzle, and on demand how. `lines` are those of its file."""
    reading, proof = case.reading, case.proof
    verdict: Verdict = "no-claim"
    keys: tuple[str, ...] = ()
    if proof is not None and reading is not None:
        verdict = "unsound" if proof.verdict == "impossible" else proof.verdict
        keys = tuple(reading.diagram.board.san(key) for key in proof.keys)
    mentions = reading.mentions if reading is not None else []
    not_read = len(reading.not_understood) if reading is not None else 0
    return PuzzleResult(
        line=lines.place(case.puzzle.span.start)[0],
        title=case.puzzle.title,
        fen=reading.diagram.board.fen() if reading is not None else None,
        stipulation=case.stipulation.symbol if case.stipulation is not None else None,
        verdict=verdict,
        keys=keys,
        move_mentions=len(mentions) + not_read,
        checked=sum(mention.state is not State.not_examined for mention in mentions),
        start=case.puzzle.span.start,
        reading=tuple(understood.sentences(case)) if show_reading else None,
    )
