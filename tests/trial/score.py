"""How well a text was read, beside what is true of it."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields
from functools import cache
from pathlib import Path
from unittest.mock import patch

from keyproof.grammar.spans import Lines
from keyproof.linter import pipeline
from keyproof.linter.options import Options
from keyproof.linter.results import FileResult
from keyproof.rules.case.case import Case
from keyproof.rules.finding import Level
from keyproof.rules.play.node import Node
from keyproof.rules.reading.account import Standing
from keyproof.rules.reading.reading import State

from .truth import Claim, Placed, bare, text

_NEAR = (0, -1, 1)  # captions are cut in the middle of a phrase


@dataclass(frozen=True)
class Score:
    """Numbers of one text, or of several taken together.

    `told`: true claims that tell of moves; `placed`: those whose moves were read on their line and at their place.
    `alarms`: errors and warnings away from any planted error, duals apart. `planted`: errors of the author's, `found`:
    those reported on their line, `beside`: on the line before or after. `clauses` hold chess, `trusted`
    of them are called placed. `sure`: claims of lines whose clauses are all called placed, `rightly` of them placed.
    """

    told: int = 0
    placed: int = 0
    alarms: int = 0
    planted: int = 0
    found: int = 0
    beside: int = 0
    clauses: int = 0
    trusted: int = 0
    sure: int = 0
    rightly: int = 0

    def __add__(self, other: "Score") -> "Score":
        return Score(*(getattr(self, field.name) + getattr(other, field.name) for field in fields(self)))


def together(scores: Iterable[Score]) -> Score:
    """Add scores up."""
    return sum(scores, Score())


def checked(path: Path) -> tuple[FileResult, list[Case]]:
    """Check a text; return also the puzzles as they were read."""
    lists: list[list[Case]] = []  # the very list in which a puzzle may yet be replaced by one that was read before
    made = pipeline.cases_of

    def kept(*arguments: object) -> list[Case]:
        lists.append(made(*arguments))  # type: ignore[arg-type]
        return lists[-1]

    with patch.object(pipeline, "cases_of", kept):
        result = pipeline.check_file(str(path), Options(fresh=True))
    return result, [case for cases in lists for case in cases]


def moves_read(case: Case, lines: Lines) -> Iterator[tuple[int, Placed]]:
    """Yield the line and the place of each move that was read."""
    if case.reading is None:
        return
    for mention in (*case.reading.mentions, *case.reading.parries):
        if mention.state is State.read and not mention.asked:
            line = lines.place(mention.phrase.span.start)[0]
            for node in mention.after:
                *before, last = _sans(node)
                yield line, (tuple(before), last)


def _sans(node: Node) -> Iterator[str]:
    for step in node.path[1:]:
        assert step.parent is not None
        assert step.move is not None
        yield bare(step.parent.board.san(step.move)) if step.move else "--"


@cache
def score(path: Path) -> Score:
    """Check a text and compare what was read and reported with what is true."""
    result, cases = checked(path)
    assert result.error is None, result.error
    truth, lines = text(path), Lines(result.text)
    read = {each for case in cases for each in moves_read(case, lines)}
    told = truth.told
    placed = {id(claim) for claim in told if _is_placed(claim, read)}
    sure_lines = _sure_lines(result, lines)
    sure = [claim for claim in told if claim.line in sure_lines]
    flagged = list(_flagged(result, lines))
    all_flagged = {line for each in flagged for line in each}
    found = [e for e in truth.errors if e.line in all_flagged or (e.wide and flagged)]
    beside = [e for e in truth.errors if e not in found and {e.line - 1, e.line + 1} & all_flagged]
    near = {error.line + step for error in truth.errors for step in _NEAR}
    wide = any(error.wide for error in truth.errors)
    return Score(
        told=len(told),
        placed=len(placed),
        alarms=0 if wide else sum(each.start not in near for each in flagged),
        planted=len(truth.errors),
        found=len(found),
        beside=len(beside),
        clauses=result.account.total,
        trusted=result.account.placed,
        sure=len(sure),
        rightly=sum(id(claim) in placed for claim in sure),
    )


def _is_placed(claim: Claim, read: set[tuple[int, Placed]]) -> bool:
    return all(any((claim.line + step, place) in read for step in _NEAR) for place in claim.places)


def _flagged(result: FileResult, lines: Lines) -> Iterator[range]:
    """Yield the lines of each error and warning."""
    for each in result.findings:
        finding = each.finding
        if finding.level is not Level.note and finding.rule != "dual":
            first, last = (lines.place(offset)[0] for offset in finding.span)
            yield range(first, last + 1)


def _sure_lines(result: FileResult, lines: Lines) -> set[int]:
    """Return the lines on which clauses that hold chess begin, and all of these are called placed."""
    called: dict[int, bool] = {}
    for entry in result.account.entries:
        line = lines.place(entry.span.start)[0]
        called[line] = called.get(line, True) and entry.standing is Standing.placed
    return {line for line, placed in called.items() if placed}
