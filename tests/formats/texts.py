"""Puzzle texts of the tests: positions and words are invented."""

from collections.abc import Sequence

from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.linter.results import FileResult

FEN = "8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1"
COLUMN = f"""# No. 7: The waiting king

`{FEN}`

White to play and mate in two. (3+2)

Key: **1.Kg2!** zugzwang. 1...Kh4 2.Re4#, 1...h4 2.Rg5#
"""
FAULTY = COLUMN.replace("2.Rg5#", "2.Re4#")


def check(text: str, name: str, options: Options | None = None) -> FileResult:
    """Proofread a text of the kind its name tells."""
    return check_text(name, text, options or Options())


def found(result: FileResult) -> list[tuple[str, str]]:
    """Return rule and place of each finding, the place as the text that is marked."""
    return [(each.finding.rule, each.finding.span.of(result.text)) for each in result.findings]


def rules(result: FileResult) -> Sequence[str]:
    """Return the rules of the findings, in text order."""
    return [each.finding.rule for each in result.findings]
