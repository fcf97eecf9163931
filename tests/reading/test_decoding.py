"""Files that are not UTF-8: what is read, what is refused, and that nothing of them is lost.

The encodings are those of Python's codecs, which follow the tables of the Unicode consortium.
"""

from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from hypothesis import given
from hypothesis import strategies as st
from keyproof.linter.cli import cli
from keyproof.linter.decoding import Undecodable, decode

COLUMN = (
    "No. 1  The “waiting” king – Lindenhof’s café\n8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1\n"
    "Mate in two. (3+2)\n1.Kg2! Kh4 2.Re4#\n"
)
WESTERN = [
    "“Key: 1.Kg2!” – White’s rook waits… 1...Kh4 2.Re4#",
    "Schlüssel: 1.Dg7! droht 2.Dh8 matt. Läufer schlägt Bauer",
    "Clé: 1.Dg7! menace 2.Dh8 mat. Après Rd4, le cavalier mate. À vous. École",
    "1.R×d5! ½ †",
    "Weiß: Kg1, Dd1",
    "Århus, L’Échiquier «mat»",
]
OTHERS = [
    ("Ключ: 1.Фg7! с угрозой", ["cp1251", "koi8-r", "cp866", "mac_cyrillic"]),
    ("κλειδί: 1.Βg7", ["cp1253", "iso8859-7"]),
    ("詰み: 1.Qg7", ["shift_jis", "gb18030", "euc_jp"]),
    ("“Key: 1.Kg2!” – White’s rook waits…", ["mac_roman"]),
    ("Schlüssel: 1.Dg7! Läufer schlägt", ["mac_roman", "cp437", "cp850"]),
    ("Clé: 1.Dg7! Après", ["mac_roman", "cp437", "cp850"]),
]


def check(*arguments: str) -> Result:
    return CliRunner().invoke(cli, ["check", *arguments])


@pytest.mark.parametrize("text", WESTERN)
def test_windows_1252_is_read(text: str) -> None:
    decoded = decode(text.encode("cp1252"))
    assert decoded.text == text
    assert "read as Windows-1252" in (decoded.note or "")


@pytest.mark.parametrize("codec", ["utf-8-sig", "utf-16"])
@pytest.mark.parametrize("text", [*WESTERN, "Ключ: 1.Фg7!", "詰み", ""])
def test_a_byte_order_mark_leaves_no_doubt(text: str, codec: str) -> None:
    decoded = decode(text.encode(codec))
    assert (decoded.text, decoded.note) == (text, None)


@pytest.mark.parametrize(("text", "codec"), [(text, codec) for text, codecs in OTHERS for codec in codecs])
def test_what_can_only_be_guessed_is_refused(text: str, codec: str) -> None:
    with pytest.raises(Undecodable, match="the encoding cannot be told: save it as UTF-8 text"):
        decode(text.encode(codec))


@pytest.mark.parametrize("codec", ["utf-16-le", "utf-16-be"])
@pytest.mark.parametrize("text", WESTERN)
def test_utf_16_that_does_not_say_so_is_told_how_to_be_saved(text: str, codec: str) -> None:
    with pytest.raises(Undecodable, match=r"UTF-16 without a byte order mark.*: save it as UTF-8 text"):
        decode(text.encode(codec))


@given(st.binary())
def test_a_file_can_be_written_back(data: bytes) -> None:
    try:
        decoded = decode(data)
    except Undecodable:
        return
    assert decoded.encoded(decoded.text) == data


@given(st.text(), st.sampled_from(["utf-8", "utf-8-sig", "utf-16"]))
def test_unicode_is_read_as_it_is(text: str, codec: str) -> None:
    data = text.encode(codec)
    if codec != "utf-8" or not (text.startswith("\ufeff") or "\0" in text):  # many NULs are no text
        assert decode(data).text == text


@pytest.mark.parametrize("codec", ["cp1252", "utf-16", "utf-8-sig"])
def test_a_column_is_checked_and_mended_in_its_own_encoding(tmp_path: Path, codec: str) -> None:
    column = tmp_path / "column.txt"
    column.write_bytes(COLUMN.encode(codec))
    done = check(str(column))
    assert done.exit_code == 1
    assert f"{column}:4:" in done.stdout
    assert "warning: 1 reply is left out: 1...h4" in done.stdout
    assert ("note: the file is not UTF-8" in done.stdout) == (codec == "cp1252")
    assert "The “waiting” king – Lindenhof’s café" in done.stdout
    check("--repair", "--write", str(column))
    assert column.read_bytes() == COLUMN.replace("Re4#", "Re4#, 1...h4 2.Rg5#").encode(codec)
