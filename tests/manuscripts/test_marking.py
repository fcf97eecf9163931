"""Comments and tracked changes: where they stand, and what they come to when they are accepted or refused.

A copy in .docx is opened with python-docx; test_schemas.py compares both kinds with their published schemas.
"""

import zipfile
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import docx as word
import pytest
from click.testing import CliRunner
from keyproof.linter.cli import cli
from keyproof.linter.manuscripts.marking import NotMarked, write_marked
from keyproof.linter.manuscripts.package import local, parse
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_file
from keyproof.linter.results import FileResult
from pypdf import PdfReader

from .samples import W, docx, odt, paragraph, pdf_of
from .test_pdf import shown

NOW = datetime(2026, 1, 2, 3, 4, 5, tzinfo=UTC)
HEAD = ("No. 7: The waiting king", "8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1", "White to play and mate in two. (3+2)")
# The wrong mate is printed in a form of its own, for which no repair is sure.
PLAY = ("Key: 1.", "K", "fg2! zugzwang. 1...Kh4 2.Re4+, 1...h4 2.Re5-e", "4#")


def in_docx(*runs: str) -> bytes:
    return docx("".join(paragraph(line) for line in HEAD) + paragraph(*runs))


def in_odt(*runs: str) -> bytes:
    spans = "".join(f"<text:span>{run}</text:span>" for run in runs)
    return odt("".join(f"<text:p>{line}</text:p>" for line in HEAD) + f"<text:p>{spans}</text:p>")


def in_pdf(*runs: str) -> bytes:
    lines = [*HEAD, "".join(runs)]
    return pdf_of([shown(*((60, 700 - 40 * number, 10, line) for number, line in enumerate(lines)))])


MAKERS = {"docx": in_docx, "odt": in_odt, "pdf": in_pdf}
FOUND = [
    ("needless-origin", "Kfg2!"),
    ("mate-marked-check", "+"),
    ("check-not-mate", "#"),
]


def checked(path: Path) -> FileResult:
    return check_file(str(path), Options(fresh=True))


def found(result: FileResult) -> list[tuple[str, str]]:
    assert result.error is None, result.error
    return [(each.finding.rule, each.finding.span.of(result.text)) for each in result.findings]


def rules(result: FileResult) -> list[str]:
    return [rule for rule, _ in found(result)]


@pytest.fixture(params=["docx", "odt", "pdf"])
def marked(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """Return a marked copy; the original lies beside it."""
    kind = str(request.param)
    original = tmp_path / f"column.{kind}"
    original.write_bytes(MAKERS[kind](*PLAY))
    result = checked(original)
    assert rules(result) == [rule for rule, _ in FOUND]
    assert write_marked(result, kind, str(tmp_path / f"marked.{kind}"), NOW) == 3
    return tmp_path / f"marked.{kind}"


def part(path: Path, name: str) -> Any:
    return parse(zipfile.ZipFile(path).read(name), name)


def comments_at(path: Path, only: str | None = None) -> list[tuple[str, str]]:
    """Return the first line of each comment and the words it stands at, read without our reader."""
    if path.suffix == ".docx":
        return _docx_comments(path)
    if path.suffix == ".odt":
        return _odt_comments(path)
    notes = []
    for page in PdfReader(path).pages:
        words = page.extract_text().split()
        for each in page.get("/Annots") or ():
            note = each.get_object()
            if only is not None and note["/Subtype"] != only:
                continue
            assert note["/Subtype"] == "/Highlight"
            assert len(note["/QuadPoints"]) % 8 == 0
            notes.append((note["/Contents"].split("\n")[0], words and ""))
    return notes


def _docx_comments(path: Path) -> list[tuple[str, str]]:
    words = {each.get(f"{{{W}}}id"): "".join(each.itertext(f"{{{W}}}t")) for each in part(path, "word/comments.xml")}
    at: dict[str, str] = {}
    open_: set[str] = set()
    for each in part(path, "word/document.xml").iter():
        key = each.get(f"{{{W}}}id") or ""
        if local(each) == "commentRangeStart":
            open_.add(key)
            at[key] = ""
        elif local(each) == "commentRangeEnd":
            open_.remove(key)
        elif local(each) in ("t", "delText") and not any(local(above) == "ins" for above in each.iterancestors()):
            for key in open_:
                at[key] += each.text or ""
    assert not open_
    return [(words[key], at[key]) for key in at]


def _odt_comments(path: Path) -> list[tuple[str, str]]:
    found: list[tuple[str, str]] = []
    struck = {each.get(each.tag.rpartition("}")[0] + "}id") or "": each for each in part(path, "content.xml").iter()}
    assert struck
    for each in part(path, "content.xml").iter():
        if local(each) == "annotation":
            first = next(line for line in each if local(line) == "p")
            found.append(("".join(first.itertext()), ""))
    return found


def test_every_finding_is_a_comment(marked: Path) -> None:
    said = comments_at(marked)
    assert len(said) == 3
    for (words, _), (rule, _) in zip(said, FOUND, strict=True):
        assert f"[{rule}]" in words


def test_a_comment_stands_at_its_words(marked: Path) -> None:
    if marked.suffix != ".docx":
        pytest.skip("the ranges of .odt and PDF are read back by our reader in other tests")
    assert [words for _, words in comments_at(marked)] == [words for _, words in FOUND]


def test_what_is_accepted_is_clean_but_for_what_has_no_repair(marked: Path) -> None:
    again = checked(marked)
    expected = ["check-not-mate"] if marked.suffix != ".pdf" else [rule for rule, _ in FOUND]
    assert rules(again) == expected


def test_the_original_is_not_touched(marked: Path) -> None:
    original = marked.with_name(f"column{marked.suffix}")
    assert original.read_bytes() == MAKERS[marked.suffix[1:]](*PLAY)


def test_a_second_copy_says_nothing_twice(marked: Path) -> None:
    again = marked.with_name(f"again{marked.suffix}")
    assert write_marked(checked(marked), marked.suffix[1:], str(again), NOW) == 0
    assert comments_at(again) == comments_at(marked)


def refused(path: Path) -> str:
    """Return the text of a .docx or .odt with all tracked changes refused, without our reader."""
    name = "word/document.xml" if path.suffix == ".docx" else "content.xml"
    root = part(path, name)
    if path.suffix == ".docx":
        for added in list(root.iter(f"{{{W}}}ins")):
            added.getparent().remove(added)
        return "".join(each.text or "" for each in root.iter(f"{{{W}}}t", f"{{{W}}}delText"))
    text = "urn:oasis:names:tc:opendocument:xmlns:text:1.0"
    regions = {region.get(f"{{{text}}}id"): region[0] for region in root.iter(f"{{{text}}}changed-region")}
    body = next(each for each in root.iter() if local(each) == "text" and local(each.getparent()) == "body")
    words: list[str] = []
    added = False

    def walk(element: Any) -> None:
        nonlocal added
        name = local(element)
        if name in ("tracked-changes", "annotation"):
            return
        added = (added or name == "change-start") and name != "change-end"
        if name == "change":
            words.append(
                "".join(next(p for p in regions[element.get(f"{{{text}}}change-id")] if local(p) == "p").itertext())
            )
        if not added and element.text:
            words.append(element.text)
        for each in element:
            walk(each)
            if not added and each.tail:
                words.append(each.tail)

    walk(body)
    return "".join(words)


def test_what_is_refused_is_the_original(marked: Path) -> None:
    if marked.suffix == ".pdf":
        pytest.skip("a PDF has no tracked changes")
    assert refused(marked) == "".join(HEAD) + "".join(PLAY)


def test_a_marked_docx_opens_and_its_parts_are_named(tmp_path: Path) -> None:
    path = tmp_path / "a.docx"
    path.write_bytes(in_docx(*PLAY))
    write_marked(checked(path), "docx", str(tmp_path / "m.docx"), NOW)
    document = word.Document(str(tmp_path / "m.docx"))
    assert [each.author for each in document.comments] == ["keyproof"] * 3
    types = part(tmp_path / "m.docx", "[Content_Types].xml")
    assert any("comments+xml" in (each.get("ContentType") or "") for each in types)
    ids = [
        each.get(f"{{{W}}}id")
        for each in part(tmp_path / "m.docx", "word/document.xml").iter(f"{{{W}}}ins", f"{{{W}}}del")
    ]
    assert len(ids) == len(set(ids)) == 3


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["a.docx", "--marked", "a.docx"], "is the file that is checked"),
        (["a.docx", "--marked", "b.odt"], "of the same kind"),
        (["a.md", "--marked", "b.md"], "make a sheet"),
        (["a.docx", "a.md", "--marked", "b.docx"], "goes with one file"),
        (["a.docx", "--marked", "b.docx", "--repair"], "takes no --repair"),
    ],
)
def test_what_cannot_be_marked_is_refused_before_it_is_checked(
    arguments: list[str], message: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("a.docx").write_bytes(in_docx(*PLAY))
    Path("a.md").write_text("x", encoding="utf-8")
    done = CliRunner().invoke(cli, ["check", *arguments])
    assert done.exit_code == 2
    assert message in done.stderr
    assert Path("a.docx").read_bytes() == in_docx(*PLAY)


def test_the_command_writes_the_copy_and_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("a.docx").write_bytes(in_docx(*PLAY))
    done = CliRunner().invoke(cli, ["check", "a.docx", "--marked", "b.docx"])
    assert done.exit_code == 1
    assert "a.docx, paragraph 1: No. 7" in done.stdout
    assert "a.docx: error: paragraph 4: 2.Re4+ is check but not mate" in done.stdout
    assert "Wrote b.docx with 3 comments." in done.stderr
    assert len(comments_at(Path("b.docx"))) == 3


@pytest.mark.parametrize("form", ["text", "json", "jsonl", "sarif"])
def test_a_copy_that_cannot_be_written_is_an_error_in_every_form(
    form: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("a.docx").write_bytes(in_docx(*PLAY))
    done = CliRunner().invoke(cli, ["check", "a.docx", "--as", form, "--marked", "missing/b.docx"])
    assert done.exit_code == 2
    assert "missing/b.docx: " in done.stderr
    assert "check-not-mate" in done.stdout  # the report is whole all the same


def test_a_report_that_goes_on_reads_a_mended_manuscript_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("a.docx").write_bytes(in_docx(*PLAY)[:-40])
    run = ["check", "a.docx", "--as", "jsonl", "-o", "report.jsonl"]
    assert CliRunner().invoke(cli, run).exit_code == 2
    Path("a.docx").write_bytes(in_docx(*PLAY))
    assert CliRunner().invoke(cli, [*run, "--marked", "b.docx"]).exit_code == 1
    assert "check-not-mate" in Path("report.jsonl").read_text(encoding="utf-8")
    assert len(comments_at(Path("b.docx"))) == 3
    Path("b.docx").unlink()
    assert CliRunner().invoke(cli, [*run, "--marked", "b.docx"]).exit_code == 1  # nothing has changed since
    assert len(comments_at(Path("b.docx"))) == 3


def test_repair_points_to_the_marked_copy(tmp_path: Path) -> None:
    path = tmp_path / "a.docx"
    path.write_bytes(in_docx(*PLAY))
    done = CliRunner().invoke(cli, ["check", str(path), "--repair", "--write"])
    assert done.exit_code == 1
    assert "--marked" in done.stderr
    assert path.read_bytes() == in_docx(*PLAY)


def test_a_file_that_changed_meanwhile_is_not_marked(tmp_path: Path) -> None:
    path = tmp_path / "a.docx"
    path.write_bytes(in_docx(*PLAY))
    result = checked(path)
    path.write_bytes(in_docx("other"))
    with pytest.raises(NotMarked, match="was changed"):
        write_marked(result, "docx", str(tmp_path / "b.docx"))
