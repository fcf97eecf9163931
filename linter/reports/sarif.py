"""The report for code scanning: SARIF 2.1.0 (OASIS), one run, written as the results come.

Lines and columns count from 1, columns in code points, ends exclusive, as `columnKind`
declares (section 3.14.27). A file that could not be read is a notification of the invocation.
"""

import hashlib
import json
import os
import tempfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import quote

from keyproof.grammar.spans import Span
from keyproof.rules.finding import Edit, Finding

from ..pages import Page, pages
from ..results import FileResult, PuzzleResult, Remark
from . import play, text

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"


HELD = 1 << 20  # characters of notifications that are held in memory; they stand at the end, whatever their number


class Log:
    """One log: `opening`, then `entry` for each file, then `closing`; whole whenever it is closed.

    An archive may have more notifications than memory should hold: they wait in a file without a name.
    """

    def __init__(self) -> None:
        known = pages()
        self._places = {name: place for place, name in enumerate(known)}
        self._rules = [_rule(page) for page in known.values()]
        self._notifications = tempfile.SpooledTemporaryFile(HELD, "w+", encoding="utf-8")  # noqa: SIM115
        self._failed = False
        self._counts: Counter[str] = Counter(placed=0, doubtful=0, notUnderstood=0)  # clauses that hold chess
        self._first = True

    def opening(self) -> str:
        """Return what stands before the first result."""
        from importlib.metadata import version

        driver = {"name": "keyproof", "semanticVersion": version("keyproof"), "rules": self._rules}
        return (
            f'{{"$schema": {json.dumps(SCHEMA)}, "version": "2.1.0", "runs": [{{\n'
            f'"tool": {{"driver": {json.dumps(driver)}}},\n"columnKind": "unicodeCodePoints",\n"results": ['
        )

    def entry(self, result: FileResult) -> str:
        """Return one file's results, one a line."""
        if result.error is not None:
            self._notify(_notification(result))
            return ""
        account = result.account
        self._counts.update(placed=account.placed, doubtful=account.doubtful, notUnderstood=account.not_understood)
        if account.half_read:
            self._notify(_half_read(result))
        for remark in result.remarks:
            self._notify(_remark(result, remark))
        written = ""
        for found in _results(result):
            found["ruleIndex"] = self._places[found["ruleId"]]
            written += f"{'' if self._first else ','}\n{json.dumps(found)}"
            self._first = False
        return written

    def _notify(self, notification: dict[str, Any]) -> None:
        self._failed = self._failed or notification["level"] == "error"
        self._notifications.write(f"{json.dumps(notification)}\n")

    def closing(self, *, complete: bool = True) -> Iterator[str]:
        """Yield what stands after the last result; `complete` says whether the run came to its end."""
        successful = json.dumps(complete and not self._failed)
        yield f'\n],\n"invocations": [{{"executionSuccessful": {successful}, "toolExecutionNotifications": ['
        self._notifications.seek(0)
        for place, notification in enumerate(self._notifications):
            yield f"{', ' if place else ''}{notification[:-1]}"
        yield f']}}],\n"properties": {json.dumps({"clauses": self._counts})}}}]}}\n'
        self._notifications.close()


def _rule(page: Page) -> dict[str, Any]:
    body = "\n\n".join(page.body)
    parts = [page.summary, *page.body, f"Bad:\n{page.bad}", f"Good:\n{page.good}"]
    marked = [page.summary, *page.body, f"Bad:\n\n```\n{page.bad}```", f"Good:\n\n```\n{page.good}```"]
    if page.blind_spots:
        parts.append(f"Blind spots: {page.blind_spots}")
        marked.append(f"Blind spots: {page.blind_spots}")
    return {
        "id": page.name,
        "shortDescription": {"text": page.summary},
        "fullDescription": {"text": body or page.summary},
        "help": {"text": "\n\n".join(parts), "markdown": "\n\n".join(marked)},
        "defaultConfiguration": {"level": page.level.name},
    }


def _notification(result: FileResult) -> dict[str, Any]:
    region = {"startLine": result.error_line, "startColumn": result.error_column}
    return {
        "level": "error",
        "message": {"text": result.error},
        "locations": [{"physicalLocation": {"artifactLocation": _artifact(result.path), "region": region}}],
    }


def _half_read(result: FileResult) -> dict[str, Any]:
    physical: dict[str, Any] = {"artifactLocation": _artifact(result.path)}
    if result.counted:
        physical["region"] = {"startLine": 1, "startColumn": 1}
    return {
        "level": "warning",
        "message": {"text": text.unread_words(result)},
        "locations": [{"physicalLocation": physical}],
    }


def _remark(result: FileResult, remark: Remark) -> dict[str, Any]:
    return {
        "level": "note",
        "message": {"text": remark.message},
        "locations": [_location(remark.span, result)],
    }


def _artifact(path: str) -> dict[str, str]:
    """Return a path as a URI reference (RFC 3986): relative paths stay relative."""
    if os.path.isabs(path):
        return {"uri": Path(path).as_uri()}
    relative = os.path.normpath(path).replace(os.sep, "/")
    uri = quote(relative, errors="surrogateescape")
    return {"uri": f"./{uri}" if ":" in relative.split("/")[0] else uri}  # "a:b" would be a scheme


def _results(result: FileResult) -> Iterator[dict[str, Any]]:
    for placed in result.findings:
        puzzle = None if placed.puzzle is None else result.puzzles[placed.puzzle]
        shown = _result(placed.finding, puzzle, result)
        if (time := result.time(placed.finding.span.start)) is not None:
            shown["properties"]["time"] = time
        yield shown


def _location(span: Span, result: FileResult) -> dict[str, Any]:
    """Return a location; that of a manuscript has the name of its place (sections 3.28.4 and 3.33.5).

    A file that is no text has no lines for a region to count (section 3.30.1).
    """
    physical: dict[str, Any] = {"artifactLocation": _artifact(result.path)}
    if result.counted:
        physical["region"] = _region(span, result)
    shown: dict[str, Any] = {"physicalLocation": physical}
    if (named := result.place(span.start)) is not None:
        shown["logicalLocations"] = [{"fullyQualifiedName": named}]
    return shown


def _result(finding: Finding, puzzle: PuzzleResult | None, result: FileResult) -> dict[str, Any]:
    message = finding.message
    properties: dict[str, Any] = {}
    if finding.evidence is not None:
        message = f"{message} ({play.shown(finding.evidence, puzzle)})"
        properties = {
            "evidence": list(finding.evidence.moves),
            "evidenceFen": finding.evidence.fen,
            "evidenceKind": finding.evidence.kind,
        }
    if puzzle is not None:
        properties["puzzle"] = puzzle.title
    shown: dict[str, Any] = {
        "ruleId": finding.rule,
        "level": finding.level.name,
        "message": {"text": message},
        "locations": [_location(finding.span, result)],
        "partialFingerprints": {"claim/v1": _fingerprint(finding, puzzle, result.text)},
        "properties": properties,
    }
    if finding.repair and not result.counted:
        properties["repair"] = text.repair(result.text, finding.repair, finding.span, result.place)
    elif finding.repair and all(_stands_in_file(edit.span, result) for edit in finding.repair):
        shown["fixes"] = [_fix(finding.repair, result)]
    return shown


def _region(span: Span, result: FileResult) -> dict[str, int]:
    line, column, end_line, end_column = result.region(span)
    return {"startLine": line, "startColumn": column, "endLine": end_line, "endColumn": end_column}


def _fingerprint(finding: Finding, puzzle: PuzzleResult | None, whole: str) -> str:
    """Return what stays the same when text above is added or taken away."""
    known = (finding.rule, puzzle.fen if puzzle else None, finding.span.of(whole), finding.message)
    return hashlib.sha256(json.dumps(known).encode()).hexdigest()[:32]


def _stands_in_file(span: Span, result: FileResult) -> bool:
    """Tell whether the words of a span stand in the file as they were read, with no markup among them."""
    manuscript = result.manuscript
    if manuscript is None or manuscript.source is None:
        return True
    return manuscript.in_file(span).of(manuscript.source) == span.of(result.text)


def _fix(edits: tuple[Edit, ...], result: FileResult) -> dict[str, Any]:
    replacements = []
    for edit in sorted(edits, key=lambda edit: edit.span):
        replacement: dict[str, Any] = {"deletedRegion": _region(edit.span, result)}
        if edit.text:
            replacement["insertedContent"] = {"text": edit.text}
        replacements.append(replacement)
    return {
        "description": {"text": text.repair(result.text, edits)},
        "artifactChanges": [{"artifactLocation": _artifact(result.path), "replacements": replacements}],
    }
