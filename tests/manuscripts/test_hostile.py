"""Files made to do harm, or broken, are refused in one line; nothing outside a file is read. Attacks: from memory, the
ways that are known of packed files (zip bombs), XML (entities: XML 1.0, 4.1 and 4.4) and PDF."""

import io
import socket
import zipfile
from pathlib import Path

import pytest
from click.testing import CliRunner
from keyproof.linter.cli import cli
from keyproof.linter.manuscripts.model import Refused
from keyproof.linter.manuscripts.package import MOST_PARTS, MOST_XML
from keyproof.linter.manuscripts.pdf_apart import MOST_PAGES
from keyproof.linter.manuscripts.reading import KINDS, ManuscriptKind, read

from .samples import CONTENT_TYPES, DOCX, ODT, RELATIONS, document_xml, odt_xml, packed, pdf_of

BOMB = b"<a>" + b" " * (MOST_XML + 10) + b"</a>"
ENTITIES = (
    b'<?xml version="1.0"?><!DOCTYPE a [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">'
    b'<!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;">]><a>&c;</a>'
)
OUTSIDE = b'<?xml version="1.0"?><!DOCTYPE a [<!ENTITY a SYSTEM "file:///etc/hostname">]><a>&a;</a>'


def refusal(kind: str, data: bytes) -> str:
    with pytest.raises(Refused) as caught:
        read("a", data, kind)  # type: ignore[arg-type]
    assert "\n" not in caught.value.message
    return caught.value.message


@pytest.mark.parametrize(("kind", "part"), [("docx", "word/document.xml"), ("odt", "content.xml")])
@pytest.mark.parametrize(
    ("content", "message"),
    [
        (BOMB, "unpacks to more than"),
        (ENTITIES, "declares a document type"),
        (OUTSIDE, "declares a document type"),
        (b"<a><b></a>", "is not XML"),
        (b"\0\1\2", "is not XML"),
        (b"<a>" * 5000 + b"</a>" * 5000, "is not XML"),
    ],
    ids=["bomb", "entities", "outside", "not closed", "no text", "deep"],  # the bomb itself would be a name of 50 MB
)
def test_a_packed_file_with_a_bad_part_is_refused(kind: str, part: str, content: bytes, message: str) -> None:
    parts = dict(DOCX if kind == "docx" else ODT) | {part: content}
    assert message in refusal(kind, packed(parts))


def test_a_bomb_that_lies_about_its_size_is_refused() -> None:
    data = bytearray(packed({**DOCX, "word/document.xml": BOMB}))
    place = data.rindex(b"word/document.xml") - 46 + 24  # the size in the list of parts (APPNOTE 4.3.12)
    assert int.from_bytes(data[place : place + 4], "little") == len(BOMB)
    data[place : place + 4] = (100).to_bytes(4, "little")
    refusal("docx", bytes(data))


@pytest.mark.parametrize("kind", ["docx", "odt"])
@pytest.mark.parametrize(
    ("given", "message"),
    [
        (b"", "not a packed file"),
        (b"PK\x03\x04" + b"\0" * 40, "not a packed file"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600, "encrypted, or an old .doc"),
        ({"other": b"x"}, "broken"),
        (dict.fromkeys((f"p{number}" for number in range(MOST_PARTS + 1)), b""), "parts, more than"),
    ],
    ids=["empty", "cut off", "of another packing", "without its main part", "many parts"],
)
def test_what_is_no_manuscript_is_refused(kind: str, given: bytes | dict[str, bytes], message: str) -> None:
    assert message in refusal(kind, packed(given) if isinstance(given, dict) else given)


def test_macros_are_refused() -> None:
    assert "macros" in refusal("docx", packed({**DOCX, "word/vbaProject.bin": b"x"}))
    assert "macros" in refusal("odt", packed({**ODT, "Basic/Standard/Module1.xml": b"<a/>"}))


def test_a_folder_of_scripts_that_is_empty_is_no_macro() -> None:
    assert read("a", packed({**ODT, "Basic/": b""}), "odt").text == "1.Kg2!\n\n"


def test_an_encrypted_document_is_refused() -> None:
    manifest = b'<manifest><file-entry><encryption-data checksum="x"/></file-entry></manifest>'
    assert "encrypted" in refusal("odt", packed({**ODT, "META-INF/manifest.xml": manifest}))


def test_nothing_outside_is_read(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """A picture that is linked, a page that names files: none is opened, no address is asked for."""

    def refuse(*_: object, **__: object) -> None:
        raise AssertionError("the network was asked")

    monkeypatch.setattr(socket, "socket", refuse)
    monkeypatch.setattr(socket, "create_connection", refuse)
    secret = tmp_path / "secret.svg"
    secret.write_text("<svg><metadata>FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1</metadata></svg>", encoding="utf-8")
    drawing = (
        '<w:p><w:r><w:drawing><wp:docPr xmlns:wp="u" id="1" descr="the position"/>'
        '<a:blip xmlns:a="v" xmlns:r="x" r:link="rId9"/></w:drawing></w:r></w:p>'
    )
    links = RELATIONS.replace(
        b"</Relationships>",
        f'<Relationship Id="rId9" Type="t/image" Target="{secret.as_uri()}" TargetMode="External"/>'.encode()
        + b"</Relationships>",
    )
    linked = read(
        "a", packed({**DOCX, "word/document.xml": document_xml(drawing), "word/_rels/document.xml.rels": links}), "docx"
    )
    page = f'<link rel=stylesheet href="http://h.invalid/a.css"><img src="{secret}" alt="the position"><p>x</p>'
    shown = read("a", page.encode(), "html")
    source = r"\begin{document}x \input{" + str(secret) + r"} \includegraphics{" + str(secret) + r"}\end{document}"
    for manuscript in (linked, shown, read("a", source.encode(), "latex")):
        assert "8/8/4N3" not in manuscript.text
        assert any("picture in another file" in words for _, words in manuscript.passed_over)


def test_a_picture_cannot_name_a_part_outside_the_file() -> None:
    links = RELATIONS.replace(
        b"</Relationships>",
        b'<Relationship Id="rId9" Type="t/image" Target="../../../etc/passwd"/></Relationships>',
    )
    drawing = '<w:p><w:r><w:drawing><a:blip xmlns:a="v" xmlns:r="x" r:embed="rId9"/></w:drawing></w:r></w:p>'
    parts = {**DOCX, "word/document.xml": document_xml(drawing), "word/_rels/document.xml.rels": links}
    assert "root:" not in read("a", packed(parts), "docx").text


def _says_why_or_reads(kind: ManuscriptKind, text: str) -> bool:
    try:
        read("a", text.encode(), kind)
    except Refused as refused:
        return bool(refused.message)
    return True


@pytest.mark.parametrize(
    "page",
    [
        "<a " * 60_000,
        "<!--" * 60_000,
        "<!-- > " * 60_000,
        "<div>" * 60_000,
        "&#" * 60_000,
        "<![" * 60_000,
        "<p a='" * 60_000,
    ],
    ids=lambda page: page[:6],
)
def test_a_page_that_is_never_closed_is_refused_or_read(page: str) -> None:
    assert _says_why_or_reads("html", page)


@pytest.mark.parametrize(
    "source", ["{" * 5_000, "$" * 5_001, r"\begin{a}" * 5_000, r"\footnote{" * 5_000, "\\" * 20_000]
)
def test_a_source_that_is_never_closed_is_refused_or_read(source: str) -> None:
    assert _says_why_or_reads("latex", source)


def test_broken_pdfs_are_refused() -> None:
    assert "does not begin as a PDF" in refusal("pdf", b"hello")
    assert "broken" in refusal("pdf", b"%PDF-1.7\n" + b"x" * 1000)
    assert "no text" in refusal("pdf", pdf_of([b""]))


def test_ten_thousand_pages_are_refused() -> None:
    data = pdf_of([b""] * 10_000)
    assert f"10000 pages, more than the {MOST_PAGES}" in refusal("pdf", data)


def test_rtf_that_is_none_is_refused() -> None:
    assert "does not begin as .rtf" in refusal("rtf", b"hello")
    assert "tracked changes" in refusal("rtf", rb"{\rtf1 a {\deleted b}}")


def test_the_command_line_says_it_in_one_line(tmp_path: Path) -> None:
    path = tmp_path / "bomb.docx"
    path.write_bytes(packed({**DOCX, "word/document.xml": ENTITIES}))
    done = CliRunner().invoke(cli, ["check", str(path)])
    assert done.exit_code == 2
    assert done.stderr.count("\n") == 1
    assert "document type" in done.stderr


@pytest.mark.parametrize("kind", KINDS)
def test_a_missing_library_is_named_with_the_command(kind: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """HTML needs none: the parser of the standard library reads it."""
    import sys

    from keyproof.linter.manuscripts import reading

    libraries = {"docx": "lxml", "odt": "lxml", "latex": "pylatexenc", "rtf": "striprtf", "pdf": "pypdfium2"}
    if kind == "html":
        assert read("a", b"<p>1.Kg2!", "html").text.strip() == "1.Kg2!"
        return

    def missing(name: str, package: str | None = None) -> None:
        raise ModuleNotFoundError(name=libraries[kind])

    monkeypatch.setattr(reading, "import_module", missing)
    assert refusal(kind, b"") == "a file of this kind needs more libraries: pip install 'keyproof[documents]'"
    assert sys.modules


def test_other_files_load_no_library_for_manuscripts() -> None:
    import subprocess
    import sys

    program = (
        "import sys; from keyproof.linter.pipeline import check_text; from keyproof.linter.options import Options;"
        "check_text('a.txt', 'No. 3', Options());"
        "print(sorted({'lxml', 'pypdfium2', 'pypdf', 'pylatexenc', 'striprtf', 'docx'} & set(sys.modules)))"
    )
    shown = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert shown.stdout.strip() == "[]"


def test_samples_are_zip_files() -> None:
    assert zipfile.ZipFile(io.BytesIO(packed(DOCX))).namelist()[0] == "[Content_Types].xml"
    assert CONTENT_TYPES.startswith(b"<Types")
    assert odt_xml("x")
