"""Which files a path stands for."""

import os
import re
import sys
from pathlib import Path

import pytest
from keyproof.linter.files import walk
from keyproof.linter.results import FileResult

from .conftest import FAULTY, Process


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    for name in (
        "b/two.md",
        "b/one.TXT",
        "a/three.markdown",
        "a/picture.png",
        "a/notes",
        "z.txt",
        ".hidden/four.txt",
        "a/.five.txt",
    ):
        Path(name).parent.mkdir(exist_ok=True)
        Path(name).write_text("")
    return tmp_path


def names(*paths: str) -> list[str]:
    found = list(walk(paths))
    assert all(isinstance(entry, str) for entry in found)
    return [str(entry).replace(os.sep, "/") for entry in found]


@pytest.mark.usefixtures("folder")
class TestWalk:
    def test_a_folder_yields_its_texts_in_order_without_hidden_ones(self) -> None:
        assert names(".") == ["./z.txt", "./a/three.markdown", "./b/one.TXT", "./b/two.md"]

    def test_a_file_is_taken_whatever_its_name(self) -> None:
        assert names("a/notes", ".hidden/four.txt") == ["a/notes", ".hidden/four.txt"]

    def test_the_order_of_the_paths_stays_and_none_comes_twice(self) -> None:
        assert names("z.txt", "b", "z.txt", "b/two.md") == ["z.txt", "b/one.TXT", "b/two.md"]

    def test_a_hidden_folder_that_is_asked_for_is_walked(self) -> None:
        assert names(".hidden") == [".hidden/four.txt"]

    def test_links_to_folders_are_not_followed(self) -> None:
        Path("a/loop").symlink_to("..")
        Path("a/link.txt").symlink_to("../z.txt")
        assert names("a") == ["a/link.txt", "a/three.markdown"]

    @pytest.mark.parametrize(
        ("path", "error"),
        [
            ("missing", "there is no such file or folder"),
            ("broken", "the link leads nowhere"),
            ("bare", "nothing to check: the folder holds no "),
        ],
    )
    def test_what_cannot_be_walked_says_why(self, path: str, error: str) -> None:
        Path("bare").mkdir()
        Path("broken").symlink_to("nowhere")
        (entry,) = walk([path])
        assert isinstance(entry, FileResult)
        assert entry.path == path
        assert str(entry.error).startswith(error)

    @pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="no folder is closed to this user")
    def test_a_closed_folder_says_so(self) -> None:
        Path("b").chmod(0)
        try:
            (entry,) = walk(["b"])
        finally:
            Path("b").chmod(0o755)
        assert isinstance(entry, FileResult)
        assert "cannot be read" in str(entry.error)


ODD_NAMES = {
    "with space.txt": "with space.txt",
    "-dash.txt": "-dash.txt",
    "semi:colon.txt": "semi:colon.txt",
    "[red]name[b].txt": "[red]name[b].txt",
    "Läufer♗.txt": "Läufer♗.txt",
    "new\nline.txt": "new\\nline.txt",
    "\x1b[31mred.txt": "\\x1b[31mred.txt",
    "caf\udce9.txt": "caf\\xe9.txt",
}


@pytest.mark.skipif(sys.platform != "linux", reason="other systems refuse some of these names")
def test_odd_names_are_read_and_shown(process: Process, tmp_path: Path) -> None:
    for name in ODD_NAMES:
        (tmp_path / name).write_text(FAULTY)
    done = process("check", "--jobs", "1", "--", *ODD_NAMES)
    assert done.returncode == 1
    assert done.stderr == ""
    headings = re.findall(r"^(.*), line \d+", done.stdout, re.M)
    findings = re.findall(r"^(.*?\.txt):4:", done.stdout, re.M)
    assert headings == findings == list(ODD_NAMES.values())
