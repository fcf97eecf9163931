"""Columns in the languages that have a table of words, read by the walk.

The columns in the folder tongues are invented for this test; what each tells, and which of it is false, stands
beside it and was worked out by search, apart from the reading.
"""

import json
from dataclasses import dataclass
from pathlib import Path

import chess
import pytest
from keyproof.grammar.letters import LANGUAGES
from keyproof.grammar.lexicon.tongues import TONGUES, told_in
from keyproof.linter import companion
from keyproof.linter.options import Options
from keyproof.linter.pipeline import cases_of, check_text
from keyproof.linter.sources import document_from_text
from keyproof.rules.case.case import Case
from keyproof.rules.checks.run import findings
from keyproof.rules.finding import Finding, Level
from keyproof.rules.play.node import Node
from keyproof.rules.proof import prover
from keyproof.rules.reading.account import Standing
from keyproof.rules.reading.walk.outcome import read_walk

FOLDER = Path(__file__).parent / "tongues"
COLUMNS = sorted(path.stem for path in FOLDER.glob("*.txt"))
FOREIGN = [tongue for tongue in TONGUES if tongue != "english"]
PLACED = 0.95  # of what a column tells


@dataclass(frozen=True)
class Column:
    """A column as the walk reads it: the lines of play told, by puzzle, and what is found false, by line of text."""

    text: str
    truth: dict  # type: ignore[type-arg]
    told: list[set[str]]
    found: list[Finding]


def line_at(text: str, finding: Finding) -> str:
    start = text.rfind("\n", 0, finding.span.start) + 1
    return text[start:].split("\n", 1)[0]


def cases_in(text: str) -> list[Case]:
    options = Options()
    document = document_from_text("column.txt", text, "text")
    return cases_of(document, companion.sections_of(document, options.positions)[0], options)


def told_by(case: Case) -> set[str]:
    """Read a puzzle by the walk, whichever reading the case would choose, and return the lines of play told."""
    board, stipulation = case.board, case.stipulation
    assert board is not None
    assert stipulation is not None
    proof = prover.prove(board, stipulation)
    letters = LANGUAGES[case.language]
    prose = case.puzzle.prose
    reading = read_walk(case.masked, prose, case.statements, Node(board), proof, stipulation.plies, letters)
    case.__dict__["reading"] = reading
    ends = [end for mention in reading.mentions for end in mention.after]
    return {san_line(board, end.moves) for end in ends}


def san_line(board: chess.Board, moves: list[chess.Move]) -> str:
    board, sans = board.copy(stack=False), []
    for move in moves:
        sans.append(board.san(move) if move else "--")
        board.push(move)
    return " ".join(sans)


def column(name: str) -> Column:
    text = (FOLDER / f"{name}.txt").read_text(encoding="utf-8")
    truth = json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))
    cases = cases_in(text)
    told = [told_by(case) for case in cases]
    found = [each for case in cases for each in findings(case) if each.level is Level.error]
    return Column(text, truth, told, found)


@pytest.mark.parametrize("name", COLUMNS)
def test_a_column_is_placed(name: str) -> None:
    read = column(name)
    wanted = [(place, line) for place, told in enumerate(read.truth["told"]) for line in told]
    missed = [(place + 1, line) for place, line in wanted if line not in read.told[place]]
    assert len(missed) <= (1 - PLACED) * len(wanted), missed


@pytest.mark.parametrize("name", COLUMNS)
def test_what_is_false_in_a_column_is_found_and_nothing_else(name: str) -> None:
    read = column(name)
    found = [(line_at(read.text, each), each.rule) for each in read.found]
    for line in read.truth["false"]:
        assert any(line in where for where, _ in found), line
    assert not [each for each in found if not any(line in each[0] for line in read.truth["false"])]


@pytest.mark.parametrize("name", COLUMNS)
def test_an_editor_is_told_of_just_the_planted_errors(name: str) -> None:
    text = (FOLDER / f"{name}.txt").read_text(encoding="utf-8")
    wanted = json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))["false"]
    found = [each.finding for each in check_text("column.txt", text, Options()).findings]
    told = [line_at(text, each) for each in found if each.level is Level.error]
    assert len(told) == len(wanted)
    assert all(line in where for where, line in zip(told, wanted, strict=True))


@pytest.mark.parametrize("name", COLUMNS)
def test_the_words_that_ask_for_mate_are_understood(name: str) -> None:
    result = check_text("column.txt", (FOLDER / f"{name}.txt").read_text(encoding="utf-8"), Options())
    for case in cases_in(result.text):
        claim = case.stipulation_claim
        assert claim is not None
        entry = result.account.at(claim.span.start)
        assert entry is None or entry.standing is Standing.placed


@pytest.mark.parametrize("name", COLUMNS)
def test_the_language_of_a_column_is_told_by_its_words(name: str) -> None:
    read = cases_in((FOLDER / f"{name}.txt").read_text(encoding="utf-8"))
    for case in read:
        tongue, letters = told_in(case.masked, case.puzzle.prose)
        assert tongue == name.split("_")[0]
        assert letters == LANGUAGES[TONGUES[tongue]]


@pytest.mark.parametrize("name", COLUMNS)
def test_the_truth_about_a_column_can_be_played(name: str) -> None:
    read = column(name)
    for case, told in zip(cases_in(read.text), read.truth["told"], strict=True):
        for line in told:
            assert case.board is not None
            board = case.board.copy(stack=False)
            for san in line.split():
                board.push(chess.Move.null()) if san == "--" else board.push_san(san)


@pytest.mark.parametrize("tongue", FOREIGN)
def test_each_language_has_a_true_column_and_one_with_errors(tongue: str) -> None:
    truths = [json.loads((FOLDER / f"{name}.json").read_text()) for name in COLUMNS if name.startswith(tongue)]
    assert {len(truth["false"]) for truth in truths} == {0, 2}
