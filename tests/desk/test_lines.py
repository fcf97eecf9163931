"""A message that names a line names one of the file its user sees, also where what is read is taken out of a source."""

from pathlib import Path

import pytest
from keyproof.grammar.spans import Span
from keyproof.linter.desk.shown import checked_text
from keyproof.linter.kinds import Kind
from keyproof.linter.listen.desk import Checked, Desk
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_file
from keyproof.linter.sources import document_from_source
from keyproof.rules.finding import Edit
from keyproof.rules.proof.limits import Cancel
from msgspec.structs import replace

from .conftest import FEN

PAGE = f"""<!DOCTYPE html>
<head>
<title>A column</title>
<style>p {{ margin: 0 }}</style>
</head>
<h2>No. 1</h2>

<!-- kept from
the spring -->
<p>{FEN}</p>
<p>Mate in two. 1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#</p>

<h2>No. 2</h2>
<p>{FEN}</p>
<p>Mate in two. 1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#</p>
"""
SOURCE = rf"""\documentclass{{article}}
\usepackage{{parskip}}
% kept from the spring
\begin{{document}}
\section{{No. 1}}

{FEN}

Mate in two. 1.Kg2! Kh4 2.Re4\#, 1...h4 2.Rg5\#

\section{{No. 2}}

{FEN}

Mate in two. 1.Kg2! Kh4 2.Re4\#, 1...h4 2.Rg5\#
\end{{document}}
"""
TEXT = f"# No. 1\n\n{FEN}\n\nMate in two. 1.Kg2! Kh4 2.Re4#\n\n# No. 2\n\n{FEN}\n\nMate in two.\n"
KINDS: dict[Kind, tuple[str, str]] = {
    "html": ("column.html", PAGE),
    "latex": ("column.tex", SOURCE),
    "markdown": ("column.md", TEXT),
}


def checked(desk: Desk, kind: Kind, text: str) -> Checked:
    *_, last = desk.check(document_from_source(KINDS[kind][0], text, kind), Cancel())
    return last


def once_more(known: Checked) -> str:
    """Return what is said of the position that stands there twice."""
    messages = [finding.message for finding, _ in known.findings() if finding.rule == "repeated-position"]
    (message,) = messages
    return message


def line_of(text: str, number: int) -> int:
    """Return the line on which the puzzle of a number begins in a file."""
    return next(at for at, line in enumerate(text.splitlines(), 1) if f"No. {number}" in line)


@pytest.mark.parametrize("kind", KINDS)
def test_another_puzzle_is_named_by_its_line_in_the_file(kind: Kind) -> None:
    text = KINDS[kind][1]
    assert f"'No. 1' (line {line_of(text, 1)})" in once_more(checked(Desk(Options(effort=1)), kind, text))


@pytest.mark.parametrize("kind", KINDS)
def test_it_is_named_anew_when_only_the_file_has_another_line(kind: Kind) -> None:
    """A comment is nothing that is read, and yet all below it stand a line lower."""
    desk, text = Desk(Options(effort=1)), KINDS[kind][1]
    before = once_more(checked(desk, kind, text))
    lower = {"html": text.replace("<head>", "<head>\n<!-- one more -->"), "latex": text.replace("\\usep", "%\n\\usep")}
    changed = lower.get(kind, f"\n{text}")
    first, then = (f"line {line_of(each, 1)}" for each in (text, changed))
    assert first in before
    assert once_more(checked(desk, kind, changed)) == before.replace(first, then)


def test_a_repair_in_another_line_names_that_of_the_file() -> None:
    known = checked(Desk(Options(effort=1)), "html", PAGE)
    text = known.document.text
    (finding,) = (each for each, _ in known.findings() if each.rule == "repeated-position")
    kept = next(entry.kept for entry in known.entries if entry.kept.findings)
    at = text.index("Kg2")
    kept.findings = (replace(finding, repair=(Edit(Span(at, at + 3), "Kg1"),)),)
    (shown,) = checked_text(known)["findings"]
    line = PAGE[: PAGE.index("Kg2")].count("\n") + 1
    assert shown["repair"]["words"] == f'in line {line}, write "1.Kg1!" instead of "1.Kg2!"'


def test_a_check_names_the_place_that_its_report_has(tmp_path: Path) -> None:
    (tmp_path / "column.html").write_text(PAGE, encoding="utf-8")
    result = check_file(str(tmp_path / "column.html"), Options(effort=1))
    (message,) = (p.finding.message for p in result.findings if p.finding.rule == "repeated-position")
    assert f"({result.where(result.puzzles[0].start)})" in message
