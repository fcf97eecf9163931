"""The report for programs: its shape is frozen, and the schema beside it says the same."""

import json
from importlib.metadata import version
from importlib.resources import files as resources
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator
from keyproof.linter.reports import json as report
from keyproof.linter.results import FileResult, PlacedFinding, Remark
from msgspec.structs import replace

from .conftest import FAULTY, FEN, SOUND, Keyproof, Process
from .samples import ASIDE, RESULT, TEXT

SCHEMA = json.loads(resources("keyproof.linter.reports").joinpath("check.schema.json").read_text("utf-8"))
VALIDATOR = Draft202012Validator(SCHEMA)

FROZEN = {
    "path": "bulletin.md",
    "error": None,
    "error_line": None,
    "error_column": None,
    "puzzles": [
        {
            "line": 3,
            "title": "No. 7\tThe patient king 𝄞",
            "fen": FEN,
            "stipulation": "#2",
            "verdict": "sound",
            "keys": ["Kg2"],
            "move_mentions": 4,
            "checked": 4,
            "clauses": {"placed": 0, "doubtful": 0, "not_understood": 0, "each": []},
            "time": None,
            "place": None,
        }
    ],
    "findings": [
        {
            "line": 5,
            "column": 15,
            "end_line": 5,
            "end_column": 21,
            "rule": "mate-without-check",
            "level": "error",
            "message": "2.Re3 is not mate, not even check",
            "evidence": ["Kg2", "Kh4", "Re3", "Kg4"],
            "evidence_fen": FEN,
            "evidence_kind": "line",
            "repair": [{"line": 5, "column": 18, "end_line": 5, "end_column": 21, "text": "e4#"}],
            "puzzle": 0,
            "time": None,
            "place": None,
        },
        {
            "line": 1,
            "column": 3,
            "end_line": 1,
            "end_column": 21,
            "rule": "not-understood",
            "level": "note",
            "message": "not understood",
            "evidence": [],
            "evidence_fen": None,
            "evidence_kind": None,
            "repair": None,
            "puzzle": None,
            "time": None,
            "place": None,
        },
        {
            "line": 5,
            "column": 25,
            "end_line": 5,
            "end_column": 28,
            "rule": "dual",
            "level": "warning",
            "message": "two moves [of one rook] \x1b[31mmate\x1b[0m\u202e",
            "evidence": ["Re4#", "Re3"],
            "evidence_fen": "8/8/4N3/4R2p/7k/8/6K1/8 w - - 2 2",
            "evidence_kind": "moves",
            "repair": None,
            "puzzle": 0,
            "time": None,
            "place": None,
        },
    ],
    "remarks": [],
}


def whole(*results: FileResult) -> str:
    entries = [report.entry(result, first=index == 0) for index, result in enumerate(results)]
    return report.opening() + "".join(entries) + report.closing()


def test_the_shape_is_frozen() -> None:
    assert json.loads(whole(RESULT)) == {"keyproof": version("keyproof"), "files": [FROZEN]}


def test_an_error_has_its_place() -> None:
    failed = FileResult("b.txt", error="no text", error_line=3, error_column=7)
    assert report.file(failed) == {
        "path": "b.txt",
        "error": "no text",
        "error_line": 3,
        "error_column": 7,
        "puzzles": [],
        "findings": [],
        "remarks": [],
    }


def test_the_schema_is_one_and_takes_what_is_written() -> None:
    Draft202012Validator.check_schema(SCHEMA)
    for results in [(), (RESULT,), (RESULT, FileResult("b.txt", error="no text"), RESULT)]:
        VALIDATOR.validate(json.loads(whole(*results)))


@pytest.mark.parametrize(
    "spoil",
    [
        lambda file: file.pop("findings"),
        lambda file: file.update(more=1),
        lambda file: file.update(error="no text"),
        lambda file: file.update(error_line=1),
        lambda file: file["puzzles"][0].update(verdict="good"),
        lambda file: file["puzzles"][0].update(line=0),
        lambda file: file["findings"][0].update(level="fatal"),
        lambda file: file["findings"][0].update(column=0),
        lambda file: file["findings"][0].update(more=1),
        lambda file: file["findings"][0].update(repair=[]),
        lambda file: file["findings"][0]["repair"][0].pop("text"),
        lambda file: file["findings"][0].update(evidence=None),
        lambda file: file["findings"][0].update(evidence_kind="lines"),
        lambda file: file["findings"][0].update(rule="W101"),
        lambda file: file["findings"][0].update(puzzle=-1),
        lambda file: file["findings"][0].update(time="2:31"),
        lambda file: file["puzzles"][0].update(reading=[{}]),
        lambda file: file.update(remarks=[{"message": "no place"}]),
    ],
)
def test_the_schema_refuses_another_shape(spoil: object) -> None:
    log = json.loads(whole(RESULT))
    spoil(log["files"][0])  # type: ignore[operator]
    assert not VALIDATOR.is_valid(log)


def test_a_recording_has_times_and_remarks() -> None:
    cues = ((0, None), (TEXT.index("♔"), None), (TEXT.index("\t𝄞 1.Kg2"), 151_480))
    spoken = replace(RESULT, remarks=(Remark(ASIDE.span, "no position"),), times=cues)
    file = report.file(spoken)
    assert [found["time"] for found in file["findings"]] == ["00:02:31.480", None, "00:02:31.480"]
    assert [remark["message"] for remark in file["remarks"]] == ["no position"]
    VALIDATOR.validate(json.loads(whole(spoken)))


def test_columns_lead_back_to_the_words() -> None:
    # Code points, end exclusive: Python's own slices; line ends as the spans define them.
    rows = TEXT.replace("\r\n", "\n").split("\n")
    for entry, words in zip(report.file(RESULT)["findings"], ["2.Re3#", "Wednesday Bulletin", "Re4"], strict=True):
        assert rows[entry["line"] - 1][entry["column"] - 1 : entry["end_column"] - 1] == words


def test_a_region_may_end_on_a_later_line() -> None:
    result = FileResult("a.txt", "ab\ncd\r\nef")
    assert report._region(type(ASIDE.span)(1, 8), result) == {"line": 1, "column": 2, "end_line": 3, "end_column": 2}


def test_odd_names_survive() -> None:
    path = "caf\udce9 \n\x1b.txt"
    text = whole(FileResult(path, "", findings=(PlacedFinding(ASIDE, None),)))
    assert text.isascii()
    assert json.loads(text)["files"][0]["path"] == path


def test_one_line_for_each_file() -> None:
    # Ours: an interrupted or growing report can be read line by line.
    assert len(whole(RESULT, RESULT).splitlines()) == 4


def test_the_command_writes_it(keyproof: Keyproof, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("a.txt").write_text(FAULTY)
    Path("b.txt").write_text(SOUND)
    result = keyproof("check", "--as", "json", "a.txt", "missing.txt", "b.txt")
    log = json.loads(result.stdout)
    VALIDATOR.validate(log)
    assert [file["path"] for file in log["files"]] == ["a.txt", "missing.txt", "b.txt"]
    assert [bool(file["error"]) for file in log["files"]] == [False, True, False]
    assert result.stderr == "missing.txt:1:1: error: there is no such file or folder\n"
    (finding,) = log["files"][0]["findings"]
    assert (finding["line"], finding["rule"], finding["level"]) == (4, "mate-without-check", "error")
    assert log["files"][2]["findings"] == []
    assert log["files"][2]["puzzles"][0]["keys"] == ["Kg2"]


def test_the_encoding_of_the_stream_does_not_matter(process: Process, tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text(SOUND.replace("waiting", "wartende König ♔"), "utf-8")
    poor = process("check", "--as", "json", "a.txt", PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    assert json.loads(poor.stdout)["files"][0]["puzzles"][0]["title"].endswith("wartende König ♔ king")


def test_what_a_stipulation_was_taken_from(keyproof: Keyproof, tmp_path: Path) -> None:
    """Only where nothing states it; the report for people says it as well."""
    talk = tmp_path / "talk.txt"
    talk.write_text(f"FEN: {FEN}\nWhite, two moves.\n\nNo more words. 1.Kg2! Kh4 2.Rf4#\n", "utf-8")
    told = json.loads(keyproof("check", "--as", "json", str(talk)).stdout)
    VALIDATOR.validate(told)
    assert (told["files"][0]["puzzles"][0]["stipulation"], told["files"][0]["puzzles"][0]["supposed"]) == (
        "#2",
        "two moves",
    )
    assert '(#2 taken from "two moves", ' in keyproof("check", str(talk)).stdout
