"""Run every rule on one puzzle, and set aside what the author has marked with [sic]."""

from collections.abc import Iterator

from keyproof.grammar.spans import lines_of
from msgspec.structs import replace

from ..case.case import Case
from ..case.men_counts import in_doubt
from ..case.sic import sic_marks
from ..finding import Finding
from .descriptive import in_algebraic
from .gate import LEAVES_OUT, gate_of
from .register import Rule, load_rules

UNASKED = frozenset((*LEAVES_OUT, "solution-stops-short"))
"""Rules that hold a text to what it leaves out: not where it is only supposed what its puzzle asks for."""

WHOLE = ("turned-diagram", "solution-of-another-puzzle")  # one fault of the whole solution


def findings(case: Case) -> list[Finding]:
    """Return the findings of one puzzle in text order, without those the author accepted with [sic].

    Where the position is in doubt no repair of the text is offered, since it may be the position that is wrong.
    """
    rules = load_rules().values()
    case.sic = sic_marks(case.text, case.puzzle.parts)
    asked = [each for each in rules if not each.closing and (case.supposed is None or each.name not in UNASKED)]
    kept = [found for rule in asked for found in _unmarked(case, rule)]
    kept = case.stood = allowed(case, without_follow_ups(case, kept))
    for rule in rules:
        if rule.closing:
            kept.extend(rule.findings(case))
    if any(finding.repair for finding in kept) and in_doubt(case):
        kept = [finding if finding.rule in WHOLE else replace(finding, repair=()) for finding in kept]
    return sorted(kept, key=lambda finding: (finding.span, finding.rule))


def _unmarked(case: Case, rule: Rule) -> Iterator[Finding]:
    """Yield what a rule finds, less what the author has marked with [sic]."""
    for finding in rule.findings(case):
        line = lines_of(case.text).place(finding.span.start)[0]
        marks = [mark for mark in case.sic if mark.line == line and mark.rule in (None, finding.rule)]
        case.sic_used.extend(marks)
        if not marks:
            yield in_algebraic(case, finding)


def allowed(case: Case, found: list[Finding]) -> list[Finding]:
    """Leave out what rests on words that claim nothing, and set aside for a note what rests on half-read ones."""
    gate = gate_of(case)
    claimed = [finding for finding in found if gate.passes(finding)]
    kept = []
    for finding in sorted(claimed, key=lambda each: each.rule in LEAVES_OUT):  # which rest on how all else was judged
        held = gate.held(finding, claimed)
        if held is None:
            kept.append(finding)
        else:
            case.held.append(held)
    return kept


def without_follow_ups(case: Case, found: list[Finding]) -> list[Finding]:
    """Leave out what is wrong with the moves of a solution that belongs to another position."""
    if case.fitting is None:
        return found
    return [
        finding
        for finding in found
        if finding.rule in WHOLE or not any(span.start <= finding.span.start < span.end for span in case.puzzle.prose)
    ]
