"""The report for people, line by line."""

import io
import re

import pytest
from keyproof.grammar.spans import Span
from keyproof.linter.exits import Exit
from keyproof.linter.reports import text
from keyproof.linter.reports.play import evidence_ply, listed
from keyproof.linter.reports.terminal import Line, Writer, columns
from keyproof.linter.results import FileResult, PlacedFinding
from keyproof.linter.tally import Tally
from keyproof.rules.finding import Edit, Evidence, Finding, Level
from keyproof.rules.play.node import numbered

from .conftest import FEN
from .samples import NOT_MATE, RESULT, puzzle


def plain(lines: object) -> list[str]:
    out = io.StringIO()
    Writer(out).write(lines)  # type: ignore[arg-type]
    return out.getvalue().splitlines()


def test_a_file_with_findings() -> None:
    # Form of the lines: GNU Coding Standards 4.4 (file:line:column: message); columns are code points from 1.
    assert plain(text.report(RESULT)) == [
        "bulletin.md, outside the puzzles",
        "bulletin.md:1:3: note: not understood [not-understood]",
        "",
        "bulletin.md, line 3: No. 7\\tThe patient king 𝄞 (#2, 3+2, proved sound)",
        "bulletin.md:5:15: error: 2.Re3 is not mate, not even check [mate-without-check]",
        "    play: 1.Kg2 Kh4 2.Re3 Kg4",
        '    repair: write "2.Re4#" instead of "2.Re3#"',
        "bulletin.md:5:25: warning: two moves [of one rook] \\x1b[31mmate\\x1b[0m\\u202e [dual]",
        "    moves: 2.Re4#, Re3",
        "",
    ]


def test_a_file_without_findings_prints_nothing() -> None:
    assert plain(text.report(FileResult("a.txt", "x", puzzles=(puzzle(),)))) == []


def test_a_failure_has_the_same_form() -> None:
    result = FileResult("odd\nname.txt", error="byte 0xff is no UTF-8", error_line=4, error_column=9)
    assert text.failure(result).text == "odd\\nname.txt:4:9: error: byte 0xff is no UTF-8"


@pytest.mark.parametrize(
    ("first", "line"),
    [(0, "1.Nf4 Kd5 2.Qb6+ Kc4"), (1, "1...Nf4 2.Kd5 Qb6+ 3.Kc4"), (5, "3...Nf4 4.Kd5 Qb6+ 5.Kc4")],
)
def test_lines_of_play_are_numbered(first: int, line: str) -> None:
    # PGN standard 8.2.2: "1." before White's move, "1..." before Black's only where a line begins with it.
    assert numbered(["Nf4", "Kd5", "Qb6+", "Kc4"], first) == line


def test_a_pass_keeps_its_place() -> None:
    assert numbered(["Nf4", "--", "Qb6#"]) == "1.Nf4 -- 2.Qb6#"
    assert listed(["Kd5", "Kc4"], 1) == "1...Kd5, Kc4"


@pytest.mark.parametrize(
    ("diagram", "stipulation", "evidence", "first"),
    [
        (FEN, "#2", FEN, 0),
        ("8/8/8/8/8/8/8/8 w - - 0 30", "#2", "8/8/8/8/8/8/8/8 w - - 0 31", 2),
        ("8/8/8/8/8/8/8/8 w - - 0 1", "#2", "8/8/8/8/8/8/8/8 b - - 0 1", 1),
        ("8/8/8/8/8/8/8/8 w - - 0 1", "#3", "8/8/8/8/8/8/8/8 b - - 3 2", 3),
        # Help play: Black begins and has the number (common practice, no source); White begins h#2.5 with "1...".
        ("8/8/8/8/8/8/8/8 b - - 0 1", "h#2", "8/8/8/8/8/8/8/8 b - - 0 1", 0),
        ("8/8/8/8/8/8/8/8 b - - 0 1", "h#2", "8/8/8/8/8/8/8/8 w - - 0 2", 1),
        ("8/8/8/8/8/8/8/8 w - - 0 1", "h#2.5", "8/8/8/8/8/8/8/8 w - - 0 1", 1),
        ("8/8/8/8/8/8/8/8 b - - 0 1", "#2", "8/8/8/8/8/8/8/8 b - - 0 1", 1),
        (None, None, "8/8/8/8/8/8/8/8 b - - 0 9", 1),
    ],
)
def test_evidence_is_numbered_from_the_diagram(
    diagram: str | None, stipulation: str | None, evidence: str, first: int
) -> None:
    assert evidence_ply(Evidence(evidence, ("Kg2",)), puzzle(fen=diagram, stipulation=stipulation)) == first


@pytest.mark.parametrize("shift", [0, 1])
def test_evidence_may_know_its_number(shift: int) -> None:
    for turn in "wb":
        evidence = Evidence(f"8/8/8/8/8/8/8/8 {turn} - - 0 1", ("Kg2",), shift=shift)
        assert evidence_ply(evidence, puzzle()) == shift


@pytest.mark.parametrize(
    ("source", "edits", "words"),
    [
        ("1.Re1! Kd5", [Edit(Span(3, 3), "a")], 'write "1.Rae1!" instead of "1.Re1!"'),
        ("1.Re1+ Kd5", [Edit(Span(5, 6), "")], 'write "1.Re1" instead of "1.Re1+"'),
        ("Kd5 [sic]", [Edit(Span(4, 9), "")], 'delete "[sic]"'),
        ("w - - 0 1", [Edit(Span(2, 3), "K")], 'write "w K -" instead of "w - -"'),
        ("- - - -", [Edit(Span(2, 3), "K")], 'write "- K - -" instead of "- - - -"'),
        (
            "a1 b2",
            [Edit(Span(3, 5), "b3"), Edit(Span(0, 2), "a2")],
            'write "a2" instead of "a1"; write "b3" instead of "b2"',
        ),
        ("1.Ra1a2", [Edit(Span(2, 3), "Q"), Edit(Span(5, 7), "b2")], 'write "1.Qa1b2" instead of "1.Ra1a2"'),
        ("a1  b2", [Edit(Span(3, 3), "+")], 'insert "+"'),
        ("a1\x1b b2", [Edit(Span(0, 1), "b")], 'write "b1\\x1b" instead of "a1\\x1b"'),
    ],
)
def test_repairs_show_whole_words(source: str, edits: list[Edit], words: str) -> None:
    assert text.repair(source, edits) == words


def test_a_repair_on_another_line_says_where() -> None:
    edits = [Edit(Span(4, 5), "K")]
    assert text.repair("a\nw - -\nb", edits, Span(8, 9)) == 'in line 2, write "w K -" instead of "w - -"'
    assert text.repair("a\nw - -\nb", edits, Span(2, 3)) == 'write "w K -" instead of "w - -"'


def test_what_the_message_says_is_not_said_again() -> None:
    moves = Evidence("8/8/4N3/4R2p/6k1/8/6K1/8 b - - 1 1", ("h4",), "moves")
    left_out = Finding("defence-left-out", Level.warning, Span(0, 1), "1 reply is left out: 1...h4", moves)
    other = Finding("dual", Level.warning, Span(0, 1), "two answers", moves)
    found = (PlacedFinding(left_out, 0), PlacedFinding(other, 0))
    lines = plain(text.report(FileResult("a.txt", "x", puzzles=(puzzle(),), findings=found)))
    assert [line for line in lines if "moves:" in line] == ["    moves: 1...h4"]


def test_a_position_that_cannot_be_read_is_called_so() -> None:
    assert "(#2, its position cannot be read)" in text.head(FileResult("a.txt", "x"), puzzle(fen=None)).text


def tally(*results: FileResult, left: int = 0) -> Tally:
    counted = Tally(left=left)
    for result in results:
        counted.add(result)
    return counted


def file(*puzzles: object, findings: int = 0) -> FileResult:
    return FileResult("a.txt", "", puzzles=puzzles, findings=(PlacedFinding(NOT_MATE, 0),) * findings)  # type: ignore[arg-type]


UNREADABLE = FileResult("b.txt", error="no text")


@pytest.mark.parametrize(
    ("counted", "said"),
    [
        (
            tally(file(puzzle())),
            "1 puzzle in 1 file: 1 proved sound. Checked 4 of 4 move mentions. No fault was found.",
        ),
        (
            tally(RESULT),
            "1 puzzle in 1 file: 1 proved sound. Checked 4 of 4 move mentions. Found 1 error, 1 warning, 1 note.",
        ),
        (
            tally(file(puzzle(), puzzle(verdict="unsound"), puzzle(move_mentions=6, verdict="no-claim")), file()),
            "3 puzzles in 2 files: 1 proved sound, 1 proved unsound, 1 with nothing to prove. "
            "Checked 12 of 14 move mentions; 2 could not be checked. No fault was found in what was checked.",
        ),
        (
            tally(file(puzzle(verdict="unproved"), findings=2)),
            "1 puzzle in 1 file: 1 left unproved. Checked 4 of 4 move mentions. Found 2 errors.",
        ),
        (tally(file(), file()), "No puzzle was found in 2 files: nothing was checked."),
        (tally(UNREADABLE), "1 path could not be checked at all."),
        (
            tally(file(puzzle(move_mentions=0, checked=0)), UNREADABLE, UNREADABLE),
            "1 puzzle in 1 file: 1 proved sound. No move is mentioned. 2 paths could not be checked at all. "
            "No fault was found in what was checked.",
        ),
        (
            tally(file(puzzle()), left=3),
            "1 puzzle in 1 file: 1 proved sound. Checked 4 of 4 move mentions. Interrupted: 3 paths not looked at. "
            "No fault was found in what was checked.",
        ),
    ],
)
def test_the_summary_claims_no_more_than_was_checked(counted: Tally, said: str) -> None:
    assert text.summary(counted).text == said


@pytest.mark.parametrize(
    "short",
    [
        {"verdict": "unproved"},
        {"verdict": "no-claim"},
        {"checked": 3},
        {"verdict": "no-claim", "move_mentions": 0, "checked": 0},
    ],
)
def test_nothing_unchecked_is_called_faultless(short: dict[str, object]) -> None:
    assert text.summary(tally(file(puzzle(), puzzle(**short)))).text.endswith("No fault was found in what was checked.")


def test_status_by_the_worst() -> None:
    assert tally(RESULT).status(Level.error) is Exit.findings
    assert tally(RESULT, UNREADABLE).status(Level.error) is Exit.unreadable
    assert tally(file(puzzle())).status(Level.note) is Exit.clean


def written(lines: list[Line], **settings: object) -> str:
    out = io.StringIO()
    Writer(out, terminal=True, **settings).write(lines)  # type: ignore[arg-type]
    return out.getvalue()


def test_a_terminal_gets_lines_of_its_width(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    lines = list(text.report(RESULT))
    shown = written(lines, width=40)
    assert max(columns(row) for row in shown.splitlines()) <= 40
    assert "\x1b" not in shown
    rows = shown.splitlines()
    start = next(index for index, row in enumerate(rows) if ":5:15:" in row)
    assert rows[start : start + 3] == [
        "bulletin.md:5:15: error: 2.Re3 is not",
        "    mate, not even check",
        "    [mate-without-check]",
    ]
    # Wrapping moves no letter: the words are those of the unwrapped report.
    assert shown.split() == "\n".join(line.text for line in lines).split()


def test_colour_on_a_terminal_changes_no_letter(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TERM", "xterm-256color")
    coloured = written(list(text.report(RESULT)), width=80)
    monkeypatch.setenv("NO_COLOR", "1")
    bare = written(list(text.report(RESULT)), width=80)
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == bare
    assert "\x1b[1;31merror\x1b[0m" in coloured
    assert "[of one rook]" in bare
    assert "\x1b" not in bare


def test_no_color_may_be_empty(monkeypatch: pytest.MonkeyPatch) -> None:
    # The NO_COLOR convention: it counts when set and not empty (from memory).
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.setenv("NO_COLOR", "")
    assert "\x1b[" in written(list(text.report(RESULT)))
    monkeypatch.setenv("NO_COLOR", "0")
    assert "\x1b[" not in written(list(text.report(RESULT)))


def test_a_dumb_terminal_gets_no_colour(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TERM", "dumb")
    assert "\x1b" not in written(list(text.report(RESULT)))


def test_all_numbers_of_a_summary_are_printed_alike() -> None:
    # Thousands with a comma, as in English print (common practice, no source).
    tally = Tally(files=2, puzzles=1200, move_mentions=3455, checked=3455, placed=2100, doubtful=1001)
    tally.verdicts["sound"] = 1200
    said = text.summary(tally).text
    assert "Checked 3,455 of 3,455 move mentions." in said
    assert "1,200 puzzles in 2 files: 1,200 proved sound." in said
    assert "3,101 clauses about the play: 2,100 understood, 1,001 doubtful" in said
