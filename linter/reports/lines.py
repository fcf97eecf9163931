"""The report of an archive: JSON, one line for each puzzle, and one for each file or stretch of it when it is done.

A line with "verdict" is a puzzle, with the findings in it; a line with "done" ends what was read at a time, says
what else there is to say of it, and counts it. So a report that broke off tells how far it is whole.
"""

import json
from collections.abc import Iterator
from typing import Any

from ..results import FileResult
from ..tally import Tally
from .json import file


def lines(result: FileResult, number: int, run: str) -> Iterator[str]:
    """Yield the lines of one result, the piece `number` of its file; `run` names the code and the options."""
    told = file(result)
    findings: dict[int | None, list[dict[str, Any]]] = {}
    for finding in told["findings"]:
        findings.setdefault(finding.pop("puzzle"), []).append(finding)
    for index, puzzle in enumerate(told["puzzles"]):
        yield _line({"path": result.path, **puzzle, "findings": findings.get(index, [])})
    yield _line(
        {
            "done": result.path,
            "piece": number,
            "last": result.last,
            "line": result.first_line,
            "error": told["error"],
            "error_line": told["error_line"],
            "error_column": told["error_column"],
            "findings": findings.get(None, []),
            "remarks": told["remarks"],
            "counts": counts(result),
            "made_of": result.made_of,
            "run": run,
        }
    )


def _line(value: dict[str, Any]) -> str:
    return json.dumps(value) + "\n"


def counts(result: FileResult) -> dict[str, Any]:
    """Return what one result adds to the tally of its run."""
    tally = Tally()
    tally.add(result)
    return tally.as_values()
