"""Bytes to text. UTF-8: RFC 3629 (bytes C0, C1 and F5 to FF never occur; BOM EF BB BF)."""

import subprocess
import sys

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from keyproof.linter.decoding import decode
from keyproof.linter.sources import Unreadable, document_from_text, kind_of, read
from reading_texts import KINDS, scraps


@pytest.fixture
def written(tmp_path):
    def write(data, name="bulletin.txt"):
        path = tmp_path / name
        path.write_bytes(data)
        return path

    return write


@pytest.mark.parametrize("kind", KINDS)
def test_an_empty_file_has_no_blocks(kind):
    document = document_from_text("bulletin", "", kind)
    assert (document.text, document.masked, document.blocks) == ("", "", ())


@pytest.mark.parametrize("end", [b"\n", b"\r\n", b"\r"])
@pytest.mark.parametrize("name", ["a.txt", "a.md", "A.Markdown"])
def test_line_ends_and_tabs_are_untouched(written, end, name):
    data = end.join([b"No.\t3", b"", b"1.Qb1! Kh2"]) + end
    document = read(written(data, name))
    assert document.text.encode() == data
    assert [block.span.of(document.text) for block in document.blocks] == ["No.\t3", "1.Qb1! Kh2"]


def test_a_byte_order_mark_is_dropped_so_that_columns_are_those_of_an_editor(written):
    document = read(written(b"\xef\xbb\xbf" + "Weiß: Kg1".encode()))
    assert document.text == "Weiß: Kg1"


@pytest.mark.parametrize(
    ("data", "message", "place"),
    [
        ("Weiß: Kg1".encode("mac_roman"), "byte 0xa7 at offset 3 is not UTF-8", (1, 4)),
        ("é\r\nä".encode() + b"\xc0", "byte 0xc0 at offset 6 is not UTF-8", (2, 2)),
        (b"\xef\xbb\xbfab\n\xff", "byte 0xff at offset 6 is not UTF-8", (2, 1)),
        (b"cut \xe2\x99", "byte 0xe2 at offset 4 is not UTF-8", (1, 5)),
        ("Kg1".encode("utf-16") + b"1", "the file begins as UTF-16, but the bytes at offset 8 are not", (1, 1)),
        ("Kg1".encode("utf-32"), "the file is UTF-32", (1, 1)),
        (b"a\nb\x00c", "control character 0x00 in the text", (2, 2)),
        (b"\x89PNG\r\n\x1a\n", "byte 0x89 at offset 0 is not UTF-8", (1, 1)),
        (b"%PDF\x1b", "control character 0x1b in the text", (1, 5)),
    ],
)
def test_what_is_not_text_is_refused_with_its_place(written, data, message, place):
    path = written(data)
    with pytest.raises(Unreadable) as caught:
        read(path)
    fault = caught.value
    assert (fault.path, (fault.line, fault.column)) == (str(path), place)
    assert fault.message.startswith(message)
    assert "control character" in message or "save it as UTF-8 text" in fault.message


def test_a_file_that_is_not_there(tmp_path):
    with pytest.raises(Unreadable, match="no such file"):
        read(tmp_path / "none.txt")


def test_a_folder(tmp_path):
    (tmp_path / "folder.md").mkdir()
    with pytest.raises(Unreadable, match="directory"):
        read(tmp_path / "folder.md")


@pytest.mark.parametrize("name", ["bulletin.pdf", "bulletin", "x\0.txt"])
def test_paths_no_reader_takes(name):
    with pytest.raises(Unreadable):
        read(name)


def test_kinds():
    assert [kind_of(name) for name in ("a.txt", "b.MD", "c.markdown", "d.html", "e.xls")] == [
        "text",
        "markdown",
        "markdown",
        "html",
        None,
    ]


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.binary() | scraps().map(str.encode), st.sampled_from(["a.txt", "a.md"]))
def test_random_bytes_are_read_or_refused(written, data, name):
    try:
        document = read(written(data, name))
    except Unreadable:
        return
    assert decode(data).encoded(document.text) == data


@pytest.mark.parametrize("kind", KINDS)
@given(text=scraps())
def test_masking_moves_nothing(kind, text):
    try:
        document = document_from_text("bulletin", text, kind)
    except Unreadable:
        return
    assert len(document.masked) == len(text)
    assert all(shown in (sign, " ") for shown, sign in zip(document.masked, text, strict=True))
    assert all(shown == sign for shown, sign in zip(document.masked, text, strict=True) if sign in "\r\n")
    covered = {place for block in document.blocks for place in range(*block.span)}
    assert all(shown.isspace() or place in covered for place, shown in enumerate(document.masked))
    ends = [0, *(block.span.end for block in document.blocks)]
    assert all(block.span.start >= end for block, end in zip(document.blocks, ends, strict=False))
    assert all(not block.span.of(document.masked)[0].isspace() for block in document.blocks)


def test_plain_text_does_not_load_the_markdown_reader():
    program = (
        "import sys; from keyproof.linter.sources import document_from_text;"
        "document_from_text('a.txt', 'No. 3', 'text'); print('markdown_it' in sys.modules)"
    )
    shown = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert shown.stdout.strip() == "False"
