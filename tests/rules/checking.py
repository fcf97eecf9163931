"""Proofread a text in memory."""

from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.linter.results import FileResult


def proofread(text: str) -> FileResult:
    """Return what keyproof finds in a plain text."""
    return check_text("example.txt", text, Options())


def rules_found(text: str) -> list[str]:
    """Return the names of the rules that report something, in text order, one for each finding."""
    return [placed.finding.rule for placed in proofread(text).findings]
