"""Run every rule on one puzzle, and set aside what the author has marked with [sic]."""

import re
from dataclasses import dataclass

from keyproof.grammar.spans import Span, lines_of

from .case import Case
from .descriptive import in_algebraic
from .finding import Finding, load_rules

_SIC = re.compile(r"\[sic(?::\s*(?P<rule>[a-z-]+))?\][ \t]*$")

WHOLE = ("turned-diagram", "solution-of-another-puzzle")  # one fault of the whole solution


@dataclass(frozen=True)
class Sic:
    """A mark at the end of a line: its findings (of one rule, where one is named) stand as they are."""

    span: Span
    line: int
    rule: str | None


def sic_marks(text: str, span: Span) -> list[Sic]:
    """Return the [sic] marks that end a line within `span`."""
    lines = lines_of(text)
    found: list[Sic] = []
    first, last = lines.place(span.start)[0], lines.place(max(span.start, span.end - 1))[0]
    if text.find("[sic", lines.line_span(first).start, lines.line_span(last).end) < 0:
        return found
    for number in range(first, last + 1):
        line = lines.line_span(number)
        mark = _SIC.search(line.of(text))
        if mark is not None:
            found.append(Sic(Span(line.start + mark.start(), line.end), number, mark["rule"]))
    return found


def findings(case: Case) -> list[Finding]:
    """Return the findings of one puzzle in text order, without those the author accepted with [sic]."""
    rules = load_rules().values()
    lines = lines_of(case.text)
    case.sic = sic_marks(case.text, case.puzzle.span)
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
    kept = without_follow_ups(case, kept)
    for rule in rules:
        if rule.closing:
            kept.extend(rule.findings(case))
    return sorted(kept, key=lambda finding: (finding.span, finding.rule))


def without_follow_ups(case: Case, found: list[Finding]) -> list[Finding]:
    """Leave out what is wrong with the moves of a solution that belongs to another position."""
    if case.fitting is None:
        return found
    return [
        finding
        for finding in found
        if finding.rule in WHOLE or not any(span.start <= finding.span.start < span.end for span in case.puzzle.prose)
    ]
