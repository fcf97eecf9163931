"""Places of a manuscript in every report. JSON: our own schema. SARIF 2.1.0: section 3.33.5, fullyQualifiedName."""

import json
from importlib.resources import files
from pathlib import Path

from click.testing import CliRunner
from jsonschema import Draft202012Validator
from keyproof.grammar.spans import Span
from keyproof.linter.cli import cli
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_file
from keyproof.linter.reports.sarif import _stands_in_file
from keyproof.linter.reports.text import repair
from keyproof.linter.sheet.page import page
from keyproof.rules.finding import Edit

from .samples import docx, paragraph

HEAD = ("No. 7: The waiting king", "8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1", "Mate in two.")
PLAY = "1.Kg2! Kh4 2.Re4#, 1...h4 2.Re4#"
CLEAN = "1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#"
SCHEMA = json.loads(files("keyproof.linter.reports").joinpath("check.schema.json").read_text("utf-8"))


def written(tmp_path: Path, play: str = PLAY) -> Path:
    row = f"<w:tbl><w:tr><w:tc>{paragraph(play)}</w:tc></w:tr></w:tbl>"
    path = tmp_path / "a.docx"
    path.write_bytes(docx("".join(paragraph(line) for line in HEAD) + row))
    return path


def report(form: str, path: Path, *more: str) -> str:
    return CliRunner().invoke(cli, ["check", str(path), "--as", form, *more]).stdout


def test_text(tmp_path: Path) -> None:
    path = written(tmp_path)
    shown = report("text", path)
    assert f"{path}, paragraph 1: No. 7: The waiting king (#2, 3+2, proved sound)\n" in shown
    assert f"{path}: error: table 1, row 1: 2.Re4+ is check but not mate" in shown


def test_json(tmp_path: Path) -> None:
    whole = json.loads(report("json", written(tmp_path), "--show-reading"))
    Draft202012Validator(SCHEMA).validate(whole)
    (file,) = whole["files"]
    assert file["puzzles"][0]["place"] == "paragraph 1"
    assert [each["place"] for each in file["findings"]] == ["table 1, row 1"]
    assert file["puzzles"][0]["reading"][-1]["place"] == "table 1, row 1"


def test_sarif(tmp_path: Path) -> None:
    log = json.loads(report("sarif", written(tmp_path, CLEAN.replace("Kg2", "Kfg2"))))
    (result,) = log["runs"][0]["results"]
    (location,) = result["locations"]
    assert location["logicalLocations"] == [{"fullyQualifiedName": "table 1, row 1"}]
    assert "region" not in location["physicalLocation"]  # section 3.30.1: lines are those of a text
    assert "fixes" not in result
    assert result["properties"]["repair"] == 'write "1.Kg2!" instead of "1.Kfg2!"'


def test_a_fix_never_takes_markup_away(tmp_path: Path) -> None:
    path = tmp_path / "a.html"
    path.write_text("\n".join(f"<p>{line}</p>" for line in (*HEAD, CLEAN.replace("1.Kg2!", "1.<b>Kfg2</b>!"))), "utf-8")
    (result,) = json.loads(report("sarif", path))["runs"][0]["results"]
    ((change,),) = [each["artifactChanges"] for each in result["fixes"]]
    (replaced,) = change["replacements"]
    region = replaced["deletedRegion"]
    line = path.read_text("utf-8").split("\n")[region["startLine"] - 1]
    assert line[region["startColumn"] - 1 : region["endColumn"] - 1] == "f"
    checked = check_file(str(path), Options())
    at = checked.text.index("Kfg2!")
    assert _stands_in_file(Span(at, at + 4), checked)
    assert not _stands_in_file(Span(at, at + 5), checked)


UNREAD = "The rook juggles over e four."


def test_the_summary_and_the_reading_name_the_place(tmp_path: Path) -> None:
    path = tmp_path / "a.docx"
    path.write_bytes(docx("".join(paragraph(line) for line in (*HEAD, CLEAN, UNREAD))))
    said = report("text", path, "--show-reading")
    assert "that in paragraph 5 was not" in said
    assert "  paragraph 4: 1.Kg2!" in said
    assert "line " not in said


def test_a_text_that_is_mostly_not_understood(tmp_path: Path) -> None:
    path = tmp_path / "a.docx"
    path.write_bytes(docx("".join(paragraph(line) for line in (*HEAD, UNREAD, UNREAD))))
    assert f"{path}: warning: most of this text was not understood" in report("text", path)
    (run,) = json.loads(report("sarif", path))["runs"]
    assert "region" not in str(run["invocations"])


def test_a_repair_elsewhere_names_its_place() -> None:
    lines = "1.Kg2\n\n1...Kh4 2.Re4"
    edits = [Edit(Span(19, 19), "#")]
    assert repair(lines, edits, Span(0, 5), lambda at: f"paragraph {1 + (at > 6)}").startswith("in paragraph 2, write")


def test_a_proof_names_the_place(tmp_path: Path) -> None:
    path = written(tmp_path)
    done = CliRunner().invoke(cli, ["prove", str(path)])
    assert done.stdout.startswith(f"{path}, paragraph 1: No. 7: The waiting king\n")
    (puzzle,) = json.loads(CliRunner().invoke(cli, ["prove", str(path), "--as", "json"]).stdout)["puzzles"]
    assert puzzle["place"] == "paragraph 1"
    path.write_bytes(docx("".join(paragraph(line) for line in HEAD[:2])))
    for command in (["prove", str(path)], ["draft", str(path)]):
        assert f"{path}, paragraph 1: error: " in CliRunner().invoke(cli, command).stderr


def test_the_places_of_a_page_are_those_of_its_source(tmp_path: Path) -> None:
    path = tmp_path / "a.html"
    markup = "\n".join(f"<p>{line}</p>" for line in (*HEAD, PLAY))
    path.write_text(markup, encoding="utf-8")
    (finding,) = json.loads(report("json", path))["files"][0]["findings"]
    line = markup.split("\n")[finding["line"] - 1]
    assert finding["line"] == 4
    assert line[finding["column"] - 1 : finding["end_column"] - 1] == "#"
    assert f"{path}:4:{finding['column']}: error: paragraph 4: 2.Re4+" in report("text", path)


def test_a_sheet_shows_a_manuscript(tmp_path: Path) -> None:
    html = page([check_file(str(written(tmp_path)), Options())], Options())
    assert "The waiting king" in html
    assert "check-not-mate" in html
    assert "data-line" not in html.partition("</style>")[2]  # its lines are nothing that a person could count


def test_positions_may_stand_in_a_manuscript(tmp_path: Path) -> None:
    talk = tmp_path / "talk.txt"
    talk.write_text("The waiting king\n\nKing to g two is the key. White mates in two.\n", encoding="utf-8")
    result = check_file(str(talk), Options(positions=str(written(tmp_path))))
    assert [puzzle.fen for puzzle in result.puzzles] == ["8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1"]


def test_an_editor_is_not_served_what_is_no_text(tmp_path: Path) -> None:
    from keyproof.linter.listen.server import kind_for_editor

    assert [kind_for_editor(Path(name)) for name in ("a.html", "a.tex", "a.docx", "a.md")] == [
        "html",
        "latex",
        None,
        "markdown",
    ]
