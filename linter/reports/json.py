"""The report for programs. Its shape is a contract, written down in check.schema.json beside this file.

Lines and columns count from 1, columns in code points, ends exclusive (as SARIF 2.1.0 has them).
"""

import json
from collections.abc import Callable
from typing import Any

from keyproof.grammar.spans import Span
from keyproof.rules.finding import Finding
from keyproof.rules.reading.account import Account

from ..results import FileResult, PuzzleResult
from ..understood import Sentence, Words


def opening() -> str:
    """Return what stands before the first file."""
    from importlib.metadata import version

    return f'{{"keyproof": {json.dumps(version("keyproof"))}, "files": [\n'


def entry(result: FileResult, *, first: bool) -> str:
    """Return one file's part, in one line of ASCII whatever the encoding of the stream."""
    return f"{' ' if first else ','}{json.dumps(file(result))}\n"


def closing() -> str:
    """Return what stands after the last file."""
    return "]}\n"


def file(result: FileResult) -> dict[str, Any]:
    """Return one file's result as JSON values."""
    failed = result.error is not None

    def place(span: Span) -> dict[str, Any]:
        return _region(span, result) | {"time": result.time(span.start), "place": result.place(span.start)}

    return {
        "path": result.path,
        "error": result.error,
        "error_line": result.error_line if failed else None,
        "error_column": result.error_column if failed else None,
        "puzzles": [_puzzle(puzzle, result, place) for puzzle in result.puzzles],
        "findings": [
            _finding(placed.finding, result) | place(placed.finding.span) | {"puzzle": placed.puzzle}
            for placed in result.findings
        ],
        "remarks": [place(remark.span) | {"message": remark.message} for remark in result.remarks],
    }


def _puzzle(puzzle: PuzzleResult, result: FileResult, place: Callable[[Span], dict[str, Any]]) -> dict[str, Any]:
    more: dict[str, Any] = {} if puzzle.supposed is None else {"supposed": puzzle.supposed}
    if puzzle.reading is not None:
        more["reading"] = [_sentence(each, place) for each in puzzle.reading]
    return more | {
        "line": puzzle.line,
        "title": puzzle.title,
        "fen": puzzle.fen,
        "stipulation": puzzle.stipulation,
        "verdict": puzzle.verdict,
        "keys": list(puzzle.keys),
        "move_mentions": puzzle.move_mentions,
        "checked": puzzle.checked,
        "clauses": _account(puzzle.account, place),
        "time": result.time(puzzle.start),
        "place": result.place(puzzle.start),
    }


def _account(account: Account, place: Callable[[Span], dict[str, Any]]) -> dict[str, Any]:
    return {
        "placed": account.placed,
        "doubtful": account.doubtful,
        "not_understood": account.not_understood,
        "each": [
            place(entry.span)
            | {
                "standing": entry.standing.value,
                "stance": entry.clause.stance.value,
                "words": [place(word) for word in entry.words],
            }
            for entry in account.entries
        ],
    }


def _sentence(sentence: Sentence, place: Callable[[Span], dict[str, Any]]) -> dict[str, Any]:
    def words(each: Words) -> dict[str, Any]:
        return place(each.span) | {"text": each.text}

    return {
        **words(sentence.words),
        "play": [
            {
                "after": play.after,
                "moves": [
                    words(step.words)
                    | {
                        "role": step.role,
                        "number": step.number,
                        "moves": list(step.moves),
                        "said": list(step.said),
                        "state": step.state,
                    }
                    for step in play.steps
                ],
            }
            for play in sentence.play
        ],
        "claims": [words(claim.words) | {"meaning": claim.meaning, "after": claim.after} for claim in sentence.claims],
        "not_understood": [words(each) for each in sentence.not_understood],
        "passed_over": [words(each) for each in sentence.passed_over],
    }


def _finding(finding: Finding, result: FileResult) -> dict[str, Any]:
    evidence = finding.evidence
    return {
        "rule": finding.rule,
        "level": finding.level.name,
        "message": finding.message,
        "evidence": list(evidence.moves) if evidence else [],
        "evidence_fen": evidence.fen if evidence else None,
        "evidence_kind": evidence.kind if evidence else None,
        "repair": [_region(edit.span, result) | {"text": edit.text} for edit in finding.repair] or None,
    }


def _region(span: Span, result: FileResult) -> dict[str, int]:
    line, column, end_line, end_column = result.region(span)
    return {"line": line, "column": column, "end_line": end_line, "end_column": end_column}
