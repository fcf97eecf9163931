"""Texts and their files: encodings and line ends kept, changes outside told, nothing lost, offsets of the page."""

import json
import stat
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from keyproof.linter.desk.ends import Ends
from keyproof.linter.desk.folder import ChangedOutside, Folder, Refused
from keyproof.linter.desk.keeping import Address, Keeper
from keyproof.linter.desk.texts import NotWriting, OpenText, Texts
from keyproof.linter.desk.units import Units

WINDOW, OTHER = object(), object()


@pytest.fixture
def texts(tmp_path: Path, folder: Path, monkeypatch: pytest.MonkeyPatch) -> Texts:
    monkeypatch.setenv("KEYPROOF_DESK", str(tmp_path / "state"))
    here = Folder(folder)
    return Texts(here, Keeper(here.identity))


def opened(texts: Texts, name: str = "column.md") -> OpenText:
    text = texts.open(name)
    text.writer = WINDOW
    return text


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize(
    ("codec", "mark"), [("utf-8", b""), ("utf-8", b"\xef\xbb\xbf"), ("utf-16-le", b"\xff\xfe"), ("cp1252", b"")]
)
def test_a_file_keeps_its_encoding_and_line_ends(texts: Texts, folder: Path, end: str, codec: str, mark: bytes) -> None:
    path = folder / "column.md"
    before = f"Über den Springer{end}{end}1.Kg2!{end}"
    path.write_bytes(mark + before.encode(codec))
    path.chmod(0o640)
    text = opened(texts)
    assert text.text == "Über den Springer\n\n1.Kg2!\n"
    assert text.saved
    texts.save(text)
    assert path.read_bytes() == mark + before.encode(codec)
    texts.write(text, WINDOW, text.text.replace("1.Kg2!\n", "1.Kg2!\n2.Re4#\n"))
    assert not text.saved
    texts.save(text)
    assert text.saved
    assert path.read_bytes() == mark + f"{before}2.Re4#{end}".encode(codec)
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


@given(st.text("ab\r\n", max_size=40))
def test_a_text_nobody_changed_is_the_same_again(text: str) -> None:
    ends = Ends.of(text)
    assert "\r" not in ends.plain
    assert ends.restored(ends.plain) == text


@given(st.text("ab\n\r", max_size=20), st.text("ab\n", max_size=20))
@example("\na\r", "a\n\n")
def test_whatever_is_written_is_what_is_saved(before: str, written: str) -> None:
    assert Ends.of(Ends.of(before).restored(written)).plain == written


def test_lines_that_stay_keep_their_own_ends() -> None:
    assert Ends.of("one\r\ntwo\nthree\r\n").restored("one\nnew\ntwo\nthree\n") == "one\r\nnew\r\ntwo\nthree\r\n"


def test_a_letter_the_encoding_lacks_is_told_and_nothing_is_written(texts: Texts, folder: Path) -> None:
    path = folder / "column.md"
    path.write_bytes("Über".encode("cp1252"))
    text = opened(texts)
    texts.write(text, WINDOW, "Über ♔")
    with pytest.raises(UnicodeEncodeError):
        texts.save(text)
    assert path.read_bytes() == "Über".encode("cp1252")
    texts.save(text, in_utf8=True)
    assert path.read_text(encoding="utf-8") == "Über ♔"


def test_a_change_outside_is_told_once_and_never_undone_unasked(texts: Texts, folder: Path) -> None:
    path = folder / "column.md"
    path.write_text("one\n")
    text = opened(texts)
    assert not texts.changed_outside(text)
    path.write_text("two\n")
    assert texts.changed_outside(text)
    assert not texts.changed_outside(text)
    texts.write(text, WINDOW, "mine\n")
    with pytest.raises(ChangedOutside):
        texts.save(text)
    assert path.read_text() == "two\n"
    texts.save(text, over=True)
    assert path.read_text() == "mine\n"
    assert not texts.changed_outside(text)
    path.unlink()
    assert texts.changed_outside(text)
    with pytest.raises(ChangedOutside):
        texts.save(text)


def test_a_text_that_is_not_saved_outlives_the_server(texts: Texts, folder: Path, tmp_path: Path) -> None:
    path = folder / "column.md"
    path.write_text("one\n")
    text = opened(texts)
    texts.write(text, WINDOW, "one\nmore \ud83d of it\n".replace("\ud83d", "𝄞"))
    texts.keep(text)
    (kept,) = (tmp_path / "state").rglob("text-*.json")
    assert stat.S_IMODE(kept.parent.stat().st_mode) == 0o700
    path.write_text("changed meanwhile\n")
    again = Texts(texts.folder, Keeper(texts.folder.identity))
    text = opened(again)
    assert text.text == "one\nmore 𝄞 of it\n"
    assert text.recovered is not None
    assert again.changed_outside(text)
    with pytest.raises(ChangedOutside):  # it was written upon what stood there before
        again.save(text)
    again.save(text, over=True)
    assert not kept.exists()
    assert opened(Texts(texts.folder, Keeper(texts.folder.identity))).recovered is None


def test_damaged_or_foreign_state_is_passed_over(texts: Texts) -> None:
    text = opened(texts, "new.md")
    texts.write(text, WINDOW, "words")
    texts.keep(text)
    keeper = Keeper(texts.folder.identity)
    (kept,) = keeper._folder.glob("text-*.json")
    for damaged in (b"", b"{", b"[]", json.dumps({"name": "new.md"}).encode(), b"\xff"):
        kept.write_bytes(damaged)
        assert keeper.unsaved("new.md") is None
    assert keeper.all_unsaved() == []
    keeper.note_address(Address(1, "token"))
    assert keeper.address() == Address(1, "token")
    assert Keeper("another").address() is None


def test_one_window_writes(texts: Texts) -> None:
    text = opened(texts, "new.md")
    with pytest.raises(NotWriting):
        texts.write(text, OTHER, "theirs")
    texts.leave(WINDOW)
    text.writer = OTHER
    texts.write(text, OTHER, "theirs")
    assert text.text == "theirs"
    texts.save(text)
    assert texts.folder.read("new.md").decoded.text == "theirs"


def test_what_is_no_text_is_not_opened(texts: Texts, folder: Path) -> None:
    (folder / "column.md").write_bytes(b"\x89\xff\x00\x01")
    with pytest.raises(Refused, match=r"column\.md:1:1"):
        texts.open("column.md")
    (folder / "large.md").write_bytes(b"x" * 4_000_001)
    with pytest.raises(Refused, match="texts of up to"):
        texts.open("large.md")


@pytest.mark.parametrize("name", ["column.docx", "column.odt", "column.rtf", "column.pdf"])
@pytest.mark.parametrize("there", [True, False])
def test_what_is_no_manuscript_is_not_shown_as_one(texts: Texts, folder: Path, name: str, there: bool) -> None:
    if there:
        (folder / name).write_bytes(b"PK\x03\x04")
    with pytest.raises(Refused, match=name):
        texts.open(name)
    with pytest.raises(Refused, match="cannot write"):
        texts.folder.write(name, b"written", None, over=True)
    assert (folder / name).exists() is there


def test_a_manuscript_is_shown_and_never_written(texts: Texts, folder: Path) -> None:
    data = rb"{\rtf1\ansi No. 7: The waiting king\par Key: 1.Kg2!\par}"
    (folder / "column.rtf").write_bytes(data)
    text = opened(texts, "column.rtf")
    assert text.text.split() == ["No.", "7:", "The", "waiting", "king", "Key:", "1.Kg2!"]
    assert text.shown is not None
    assert text.saved
    with pytest.raises(NotWriting):
        texts.write(text, WINDOW, "written")
    with pytest.raises(Refused, match="cannot write"):
        texts.save(text, over=True)
    (folder / "column.rtf").write_bytes(data.replace(b"Kg2", b"Ke2"))
    assert texts.changed_outside(text)
    assert "1.Ke2!" in texts.from_file(text)
    assert text.revision == 2


@pytest.mark.parametrize(
    ("name", "before", "after"),
    [
        (
            "column.html",
            b"<meta charset=latin1>\r\n<p>L\xf6sung\r\n",
            b"<meta charset=latin1>\r\n<p>L\xf6sung &#9812;\r\n",
        ),
        ("column.tex", b"L\xc3\xb6sung\n", b"L\xc3\xb6sung \xe2\x99\x94\n"),
    ],
)
def test_html_and_latex_are_written_as_they_were(
    texts: Texts, folder: Path, name: str, before: bytes, after: bytes
) -> None:
    (folder / name).write_bytes(before)
    text = opened(texts, name)
    assert text.text == text.ends.plain
    texts.save(text)
    assert (folder / name).read_bytes() == before
    texts.write(text, WINDOW, text.text.replace("sung", "sung \u2654"))
    texts.save(text)
    assert (folder / name).read_bytes() == after


@given(st.text("a\n𝄞é", max_size=30))
def test_the_page_counts_in_utf16_units(text: str) -> None:
    """ECMAScript: the length of a string is the number of its 16-bit units."""
    units = Units(text)
    for offset in range(len(text) + 1):
        page = len(text[:offset].encode("utf-16-le")) // 2
        assert units.to_page(offset) == page
        assert units.from_page(page) == offset
    assert units.from_page(10_000) == len(text)
    assert units.from_page(-5) == 0


@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_a_file_is_whole_whatever_happens_while_it_is_saved(
    texts: Texts, folder: Path, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    path = folder / "column.md"
    path.write_text("one\n")
    text = opened(texts)
    texts.write(text, WINDOW, "two\n")

    def fails(*_: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as broken:
        broken.setattr(f"keyproof.linter.writing.os.{step}", fails)
        with pytest.raises(Refused, match=r"column\.md cannot be written: No space left"):
            texts.save(text)
    assert path.read_text() == "one\n"
    assert [each.name for each in folder.iterdir()] == ["column.md"]
    texts.save(text)
    assert path.read_text() == "two\n"
