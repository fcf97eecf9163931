"""Run every rule on one puzzle, and set aside what the author has marked with [sic]."""

from dataclasses import replace

from keyproof.grammar.spans import lines_of

from ..case.case import Case
from ..case.men_counts import in_doubt
from ..case.sic import sic_marks
from ..finding import Finding, Level
from .descriptive import in_algebraic
from .register import load_rules

LEAVES_OUT = ("defence-left-out", "refutation-left-out")
WHOLE = ("turned-diagram", "solution-of-another-puzzle")  # one fault of the whole solution


def findings(case: Case) -> list[Finding]:
    """Return the findings of one puzzle in text order, without those the author accepted with [sic].

    Where the position is in doubt no repair of the text is offered, since it may be the position that is wrong.
    """
    rules = load_rules().values()
    lines = lines_of(case.text)
    case.sic = sic_marks(case.text, case.puzzle.parts)
    kept: list[Finding] = []
    for rule in rules:
        if rule.closing:
            continue
        for finding in rule.findings(case):
            line = lines.place(finding.span.start)[0]
            marks = [mark for mark in case.sic if mark.line == line and mark.rule in (None, finding.rule)]
            case.sic_used.extend(marks)
            if not marks:
                kept.append(in_algebraic(case, finding))
    kept = [each for each in without_follow_ups(case, kept) if not _left_open(case, each)]
    for rule in rules:
        if rule.closing:
            kept.extend(rule.findings(case))
    if any(finding.repair for finding in kept) and in_doubt(case):
        kept = [finding if finding.rule in WHOLE else replace(finding, repair=()) for finding in kept]
    return sorted(kept, key=lambda finding: (finding.span, finding.rule))


def _left_open(case: Case, finding: Finding) -> bool:
    """Tell whether a finding rests on words of which nothing can be called false, or on what a text leaves out.

    A text of which a part was not understood may say there what seems to be left out.
    """
    reading = case.reading
    if reading is None or finding.level is Level.note:
        return False
    if finding.rule in LEAVES_OUT and reading.passed:
        return True
    return any(span.start <= finding.span.start < span.end for span in reading.open)


def without_follow_ups(case: Case, found: list[Finding]) -> list[Finding]:
    """Leave out what is wrong with the moves of a solution that belongs to another position."""
    if case.fitting is None:
        return found
    return [
        finding
        for finding in found
        if finding.rule in WHOLE or not any(span.start <= finding.span.start < span.end for span in case.puzzle.prose)
    ]
