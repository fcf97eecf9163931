"""Every text is read in the end: loops that could go on for ever, sets of sets, and texts that run away."""

import json
from pathlib import Path

import chess
import pytest
from checking import proofread
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st
from keyproof.linter.cli import cli
from keyproof.linter.listen.desk import Desk
from keyproof.linter.options import Options
from keyproof.linter.pipeline import cases_of, sections_of
from keyproof.linter.sources import document_from_text
from keyproof.rules.case.case import Case
from keyproof.rules.proof.limits import Cancel
from keyproof.rules.reading import work

FEN = "8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1"
TRUE = f"FEN: {FEN}\nMate in two.\n1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#\n"
TOLD = f"""FEN: {FEN}
Mate in two.
The key is king to g two. If the king goes to h four, rook to e four is mate. If the pawn moves to h four, rook to g
five is mate.
"""
# Invented: Black's queen, bishop and knights have many moves, and so has White.
SETS = "5nq1/b1R5/8/2nk2P1/2RN1B2/7Q/K7/8 Bb8#any other or Bf4 else/Na4?R any?"


def case_of(text: str) -> Case:
    document = document_from_text("example.txt", text, "text")
    sections, _ = sections_of(document, Options())
    return cases_of(document, sections, Options())[0]


@pytest.mark.parametrize("castling", ["K", "k", "Kk", "-"])
@pytest.mark.parametrize("turn", ["w", "b"])
@pytest.mark.parametrize(
    "words",
    [
        "The threat: black castles.",
        "After the key, the threat is black castles.",
        "The threat: white castles.",
        "Black castles, then White castles.",
        "1.0-0 0-0 2.0-0 0-0",
    ],
)
def test_a_right_is_granted_once(monkeypatch: pytest.MonkeyPatch, words: str, turn: str, castling: str) -> None:
    readings = 0
    replay = Case.replay

    def counted(self: Case, *given: object, **named: object) -> object:
        nonlocal readings
        readings += 1
        assert readings < 20, "the text is read again and again"
        return replay(self, *given, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(Case, "replay", counted)
    case = case_of(f"FEN: 4k2r/8/8/8/8/8/8/4K2R {turn} {castling} - 0 1\n\n{words}\n")
    assert case.reading is not None
    for granted in case.granted:
        letter = "K" if granted.colour == chess.WHITE else "k"
        assert letter not in castling, "it was there already"
    assert len({(granted.colour, granted.wing) for granted in case.granted}) == len(case.granted)


@given(
    st.lists(
        st.sampled_from(
            [
                "black castles",
                "white castles",
                "castles queenside",
                "0-0",
                "0-0-0",
                "the threat:",
                "after the key",
                "if",
                "then",
                "any other",
                "the rook moves",
                "the king takes it",
                "1.",
                "1...",
                "2.",
                "mate",
                ".",
                "?",
                ",",
                ";",
            ]
        ),
        max_size=14,
    ),
    st.sampled_from(["4k2r/8/8/8/8/8/8/4K2R", "r3k2r/8/8/8/8/8/8/R3K2R", FEN.split()[0]]),
    st.sampled_from(["KQkq", "Kk", "-"]),
)
def test_readings_of_any_words_end_within_their_work(words: list[str], men: str, castling: str) -> None:
    case = case_of(f"FEN: {men} w {castling} - 0 1\n\n{' '.join(words)}\n")
    assert case.reading is None or not case.reading.ran_away


def test_sets_of_sets_are_not_looked_at() -> None:
    case = case_of(SETS)
    assert case.reading is not None
    assert all(len(mention.after) <= work.MOST_LINES for mention in case.reading.mentions)
    assert case.account.placed == 0  # nothing of it counts as understood


def test_help_play_told_in_sets_is_bounded() -> None:
    result = proofread(f"FEN: {SETS.split()[0]} b - - 0 1\nHelpmate in 3\n1.Q~ R~ 2.Q~ R~ 3.N~ Q~#\n")
    assert [placed.finding.rule for placed in result.findings] == ["unproved", "not-understood"]
    assert f"stands for more than {work.MOST_LINES:,} lines of play" in result.findings[1].finding.message
    assert result.puzzles[0].checked < result.puzzles[0].move_mentions


def test_an_answer_to_any_other_move_is_within_the_bound() -> None:
    assert work.MOST_LINES > 218  # legal moves that a position has at the most: common practice, no source
    result = proofread(f"FEN: {FEN}\nMate in two.\n1.Kg2! Kh4 2.Re4#, 1...any other 2.Rg5#\n")
    assert not result.findings


@pytest.fixture
def tired(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let every reading run away at once."""
    monkeypatch.setattr(work, "_ALWAYS", 3)
    monkeypatch.setattr(work, "_EACH", 0)


@pytest.mark.usefixtures("tired")
@pytest.mark.parametrize("text", [TRUE, TOLD, TRUE.replace("Re4#", "Re3#"), TOLD.replace("e four", "e three")])
def test_what_runs_away_is_not_understood_and_never_accused(text: str) -> None:
    result = proofread(text)
    assert {placed.finding.rule for placed in result.findings} <= {"not-understood"}
    assert result.account.placed < result.account.total
    assert result.puzzles[0].checked == 0
    assert result.puzzles[0].verdict == "sound"  # the proof is no reading


@pytest.mark.usefixtures("tired")
def test_what_runs_away_says_so_in_every_report(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text(TRUE)
    path, run = str(tmp_path / "a.txt"), CliRunner().invoke
    said = "nothing of this puzzle was checked"
    assert said in run(cli, ["check", "--jobs", "1", path]).output
    found = json.loads(run(cli, ["check", "--jobs", "1", "--as", "json", path]).stdout)
    assert said in json.dumps(found)
    assert said in run(cli, ["check", "--jobs", "1", "--as", "sarif", path]).output
    assert "not understood" in run(cli, ["check", "--jobs", "1", "--show-reading", path]).output
    sheet = tmp_path / "sheet.html"
    assert run(cli, ["sheet", path, "-o", str(sheet)]).exit_code in (0, 1, 3)
    assert said in sheet.read_text("utf-8")


@pytest.mark.usefixtures("tired")
def test_what_runs_away_is_said_to_the_editor() -> None:
    *_, checked = Desk(Options()).check(document_from_text("a.txt", TRUE, "text"), Cancel())
    assert any("nothing of this puzzle was checked" in finding.message for finding, _ in checked.findings())
