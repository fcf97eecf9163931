"""What was answered to the comments of keyproof when a manuscript comes back."""

from ..results import PlacedFinding, Remark
from .model import Accepted, Manuscript


def answered(manuscript: Manuscript, found: list[PlacedFinding]) -> tuple[list[PlacedFinding], list[Remark]]:
    """Set aside the findings that a comment accepts; return the others, and what else there is to say of the file.

    A comment that is answered "sic" accepts what its rule finds at its words, as [sic] does. A comment that was
    resolved is not repeated: what it said is set aside, anything else that is found there is not.
    """
    used: set[Accepted] = set()
    kept = []
    for placed in found:
        finding = placed.finding
        marks = [
            mark
            for mark in manuscript.accepted
            if mark.span.start <= finding.span.end
            and finding.span.start <= mark.span.end
            and mark.rule == finding.rule
            and mark.message in (None, finding.message)
        ]
        used.update(marks)
        if not marks:
            kept.append(placed)
    remarks = [Remark(span, message) for span, message in manuscript.passed_over]
    remarks += [
        Remark(mark.span, f'the comment on {mark.rule} is answered "sic", and there is nothing to accept')
        for mark in manuscript.accepted
        if mark.message is None and mark not in used
    ]
    return kept, remarks
