"""Files that LibreOffice wrote, and what it makes of ours (Debian: libreoffice-writer-nogui).

`column.fodt` is a column as a person types it: a list of men in another font, a table of variations, a footnote.
"""

import re
import shutil
import subprocess
from pathlib import Path

import corpus_checked
import pytest
from keyproof.grammar.document import Document
from keyproof.linter.manuscripts.marking import write_marked
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_file
from keyproof.linter.results import FileResult
from keyproof.linter.sources import kind_of, read
from pypdf import PdfReader

from .office import WEB, as_html, as_latex, converted, needs_office, needs_poppler
from .test_answered import answered
from .test_marking import NOW, PLAY, in_docx
from .test_schemas import content_of, faults_of_docx, schema_of_odf

pytestmark = [needs_office, pytest.mark.slow, pytest.mark.xdist_group("office")]  # what is converted serves them all

HERE = Path(__file__).parent
DEMO = HERE.parents[1] / "corpus" / "demo"
CORPUS = [path for path in sorted(DEMO.iterdir()) if kind_of(path.name) in ("text", "markdown")]
KINDS = ("docx", "odt", "rtf", "pdf", "html")

PLANTED = [  # the rule, the words, and where a person finds them
    ("needless-origin", "♕cd6+?", "paragraph 6"),
    ("mate-marked-check", "+", "table 1, row 1, column 2"),
    ("wrong-capture-sign", "♕xb2#", "table 1, row 2, column 2"),
    ("needless-origin", "♖dd8#", "footnote 1"),
    ("unmarked-mate", "♕g7", "paragraph 14"),
]


# Most of the time of this file is LibreOffice starting, so what becomes one kind is converted in one call.


@pytest.fixture(scope="module")
def texts(tmp_path_factory: pytest.TempPathFactory) -> dict[str, dict[str, Path]]:
    """Return the column and the corpus in every kind, by kind and name."""
    folder = tmp_path_factory.mktemp("texts")
    pages = []
    for path in CORPUS:
        pages.append(folder / f"{path.stem}.html")
        pages[-1].write_text(as_html(read(path), breaks=path.suffix == ".txt"), encoding="utf-8")
        (folder / f"{path.stem}.tex").write_text(as_latex(read(path)), encoding="utf-8")
    column = HERE / "column.fodt"
    kinds = {"html": [*pages, *converted([column], "html", folder)]}
    kinds["odt"] = [*converted(pages, "odt", folder, reading=WEB), *converted([column], "odt", folder)]
    kinds |= {kind: converted(kinds["odt"], kind, folder) for kind in ("docx", "pdf")}
    kinds["rtf"] = [*converted(pages, "rtf", folder, reading=WEB), *converted([column], "rtf", folder)]
    kinds["tex"] = [path.with_suffix(".tex") for path in pages]
    return {kind: {path.stem: path for path in paths} for kind, paths in kinds.items()}


@pytest.fixture(scope="module")
def column(texts: dict[str, dict[str, Path]]) -> dict[str, Path]:
    return {kind: texts[kind]["column"] for kind in KINDS}


def checked(path: Path) -> FileResult:
    result = check_file(str(path), Options(fresh=True))
    assert result.error is None, result.error
    return result


def found(result: FileResult) -> list[tuple[str, str, str | None]]:
    return [
        (each.finding.rule, each.finding.span.of(result.text), result.place(each.finding.span.start))
        for each in result.findings
    ]


@pytest.mark.parametrize("kind", ["docx", "odt"])
def test_the_five_planted_errors_are_found_where_they_stand(kind: str, column: dict[str, Path]) -> None:
    assert found(checked(column[kind])) == PLANTED


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_gives_the_same_findings_at_the_same_words(kind: str, column: dict[str, Path]) -> None:
    assert sorted(each[:2] for each in found(checked(column[kind]))) == sorted(each[:2] for each in PLANTED)


def test_a_pdf_tells_pages_and_lines(column: dict[str, Path]) -> None:
    places = [place for _, _, place in found(checked(column["pdf"]))]
    assert places[:3] == ["page 1, line 6", "page 1, line 8", "page 1, line 9"]


@pytest.fixture(scope="module")
def marked(column: dict[str, Path]) -> dict[str, Path]:
    copies = {}
    for kind in ("docx", "odt", "pdf"):
        copies[kind] = column[kind].with_name(f"marked-{kind}.{kind}")
        assert write_marked(checked(column[kind]), kind, str(copies[kind]), NOW) == 5
    return copies


ANSWERS = {"sic": ("sic", False), "why": ("why?", False), "resolved": ("", True)}
PAGE_WITH_COMMENTS = 'pdf:writer_pdf_Export:{"ExportNotes":{"type":"boolean","value":"true"}}'


@pytest.fixture(scope="module")
def again(marked: dict[str, Path], tmp_path_factory: pytest.TempPathFactory) -> dict[str, dict[str, Path]]:
    """Return what LibreOffice makes of the marked copies and of answered ones, by kind and name."""
    folder = tmp_path_factory.mktemp("again")
    original = folder / "original.docx"
    original.write_bytes(in_docx(*PLAY))
    copies = [folder / f"{name}.docx" for name in ANSWERS]
    for copy, (reply, done) in zip(copies, ANSWERS.values(), strict=True):
        write_marked(checked(original), "docx", str(copy), NOW)
        answered(copy, reply, done=done)
    both = [marked["docx"], marked["odt"]]
    wanted = {"docx": [*both, *copies], "odt": [*both, *copies], "pdf": both, PAGE_WITH_COMMENTS: both}
    made = {kind: converted(files, kind, tmp_path_factory.mktemp("made")) for kind, files in wanted.items()}
    return {kind: {path.stem: path for path in paths} for kind, paths in made.items()}


@pytest.mark.parametrize("kind", ["docx", "odt"])
def test_a_marked_copy_is_clean_when_its_changes_are_accepted(kind: str, marked: dict[str, Path]) -> None:
    assert found(checked(marked[kind])) == []


@pytest.mark.parametrize(("kind", "other"), [("docx", "odt"), ("odt", "docx"), ("docx", "docx"), ("odt", "odt")])
def test_libreoffice_keeps_comments_and_changes(kind: str, other: str, again: dict[str, dict[str, Path]]) -> None:
    result = checked(again[other][f"marked-{kind}"])
    assert found(result) == []
    assert result.manuscript is not None
    kept = sorted(rule for rule, _, place in PLANTED if (kind, other) != ("odt", "docx") or place != "footnote 1")
    # LibreOffice writes no comment of a footnote into a .docx.
    assert sorted(each.rule or "" for each in result.manuscript.ours) == kept


def test_marked_copies_are_valid(column: dict[str, Path], marked: dict[str, Path]) -> None:
    assert faults_of_docx(marked["docx"]) == faults_of_docx(column["docx"])
    schema = schema_of_odf()
    assert schema.validate(content_of(marked["odt"])), schema.error_log


@pytest.mark.parametrize("kind", ["docx", "odt"])
@needs_poppler
def test_struck_words_and_new_ones_are_both_printed(kind: str, again: dict[str, dict[str, Path]]) -> None:
    page = again["pdf"][f"marked-{kind}"]
    text = subprocess.run(["pdftotext", "-layout", str(page), "-"], capture_output=True, text=True, check=True).stdout
    for words in ("♕cd6+", "♕b4+#", "♕xb2#", "♖dd8#", "♕g7#"):
        assert words in text


@pytest.mark.parametrize("kind", ["docx", "odt"])
def test_libreoffice_keeps_what_was_answered(kind: str, again: dict[str, dict[str, Path]]) -> None:
    left = [[rule for rule, _, _ in found(checked(again[kind][name]))] for name in ANSWERS]
    assert left == [[], ["check-not-mate"], []]


_WORD = re.compile(r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="[\d.]+">(.*)</word>')


@pytest.mark.parametrize("kind", ["docx", "odt"])
@needs_poppler
def test_on_the_page_each_comment_stands_behind_its_words(kind: str, again: dict[str, dict[str, Path]]) -> None:
    page = again[PAGE_WITH_COMMENTS][f"marked-{kind}"]
    done = subprocess.run(["pdftotext", "-bbox", str(page), "-"], capture_output=True, text=True, check=True)
    words = [(float(x), float(y), float(end), said) for x, y, end, said in _WORD.findall(done.stdout)]
    (sheet,) = PdfReader(page).pages
    stands = {}
    for note in (each.get_object() for each in sheet["/Annots"]):  # type: ignore[attr-defined]
        if note["/Subtype"] == "/Text":
            rule = re.findall(r"\[([a-z-]+)\]", note["/Contents"])[0]
            left, top = float(note["/Rect"][0]), float(sheet.mediabox.height) - float(note["/Rect"][3])
            row = "".join(said for _, y, end, said in sorted(words) if abs(y - top) < 3 and end < left + 3)
            stands.setdefault(rule, []).append(row)
    in_note = "rookmates:2.♖dd8#" if kind == "odt" else "1.♘f5!"  # a .docx takes no comment in a note, so at its sign
    wanted = {
        "needless-origin": ["1.♕cd6+?", in_note],
        "mate-marked-check": ["1...♚a42.♕b4"],
        "wrong-capture-sign": ["1...♚a22.♕xb2#"],
        "unmarked-mate": ["1...0-02.♕g7"],
    }
    assert stands.keys() == wanted.keys()
    for rule, ends in wanted.items():
        assert len(stands[rule]) == len(ends)
        for row, end in zip(stands[rule], ends, strict=True):
            assert end in row[-len(end) - 2 :], (rule, row)


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="poppler is not installed")
def test_the_highlights_of_a_pdf_are_painted(column: dict[str, Path], marked: dict[str, Path], tmp_path: Path) -> None:
    from PIL import Image

    coloured = []
    for path in (column["pdf"], marked["pdf"]):
        subprocess.run(
            ["pdftoppm", "-r", "50", "-png", "-singlefile", str(path), str(tmp_path / path.stem)], check=True
        )
        data = Image.open(tmp_path / f"{path.stem}.png").convert("RGB").tobytes()
        pixels = zip(data[::3], data[1::3], data[2::3], strict=True)
        coloured.append(sum(blue < 200 < red and blue < green for red, green, blue in pixels))
    assert coloured[0] == 0
    assert coloured[1] > 300


def test_a_pdf_that_comes_back_knows_our_comments(marked: dict[str, Path]) -> None:
    manuscript = read(marked["pdf"])
    assert sorted(each.rule for each in manuscript.ours) == sorted(rule for rule, _, _ in PLANTED)  # type: ignore[attr-defined]


# -- the corpus in every kind


def found_in(result: FileResult) -> tuple[object, ...]:
    """Return what was found in a file, and what was read and proved."""
    read_of = [
        (each.title, each.fen, each.stipulation, each.verdict, each.keys, each.move_mentions, each.checked)
        for each in result.puzzles
    ]
    return read_of, [each[:2] for each in found(result)]


KNOWN: dict[tuple[object, ...], tuple[object, ...]] = {}


def found_in_text_of(path: Path) -> tuple[object, ...]:
    """Return what is found in a manuscript: once where several kinds give one text, which is all that is checked."""
    document = read(path)
    assert isinstance(document, Document)
    key = (path.stem, document.text, document.masked, document.blocks)
    if key not in KNOWN:
        KNOWN[key] = found_in(checked(path))
    return KNOWN[key]


@pytest.mark.kernel
@pytest.mark.parametrize("kind", ["docx", "odt", "rtf", "pdf", "html", "tex"])
def test_the_corpus_is_read_alike_in_every_kind(kind: str, texts: dict[str, dict[str, Path]]) -> None:
    differing = [
        path.name
        for path in CORPUS
        if _as_broken(found_in_text_of(texts[kind][path.stem]), kind)
        != _as_broken(found_in(corpus_checked.checked(path)), kind)
    ]
    assert differing == []


def _as_broken(found: tuple[object, ...], kind: str) -> tuple[object, ...]:
    """Leave out how many moves were counted where lines break elsewhere: nothing else ends a clause of dictation."""
    if kind != "pdf":
        return found
    read_of, findings = found
    return [each[:-2] for each in read_of], findings  # type: ignore[attr-defined]


def test_the_helper_keeps_the_words() -> None:
    document = read(DEMO / "column-02.txt")
    assert "Qg3" in re.sub(r"<[^>]*>", "", as_html(document, breaks=True))
