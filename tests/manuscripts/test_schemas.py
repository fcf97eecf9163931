"""Marked copies checked against the published schemas of their formats, which openxml-audit (PyPI) carries.

OpenDocument: the RELAX NG schema of version 1.3 (OASIS). Office Open XML: the schemas that the makers of the format
publish with their development kit. What is wrong with a file before it is marked is no fault of the marks.
"""

import re
import zipfile
from importlib.resources import as_file, files
from pathlib import Path

import pytest
from keyproof.linter.manuscripts.marking import write_marked
from lxml import etree
from openxml_audit import OpenXmlValidator

from .samples import packed
from .test_marking import NOW, PLAY, checked, in_docx, in_odt


def faults_of_docx(path: Path) -> set[tuple[str, str]]:
    """Return the part and the words of each fault."""
    found = OpenXmlValidator(max_errors=0).validate(str(path)).errors
    return {(each.part_uri or "", each.description) for each in found}


def schema_of_odf() -> etree.RelaxNG:
    """Return the schema of OpenDocument 1.3."""
    with as_file(files("openxml_audit.odf.schemas") / "odf-1.3" / "OpenDocument-v1.3-schema.rng") as path:
        return etree.RelaxNG(etree.parse(path))


def content_of(path: Path) -> etree._Element:
    return etree.fromstring(zipfile.ZipFile(path).read("content.xml"))


@pytest.fixture
def docx(tmp_path: Path) -> Path:
    """Return a marked copy; the original lies beside it."""
    original = tmp_path / "a.docx"
    original.write_bytes(in_docx(*PLAY))
    assert write_marked(checked(original), "docx", str(tmp_path / "m.docx"), NOW) == 3
    return tmp_path / "m.docx"


def test_a_marked_docx_has_no_fault_of_its_own(docx: Path) -> None:
    assert faults_of_docx(docx) - faults_of_docx(docx.with_name("a.docx")) == set()


@pytest.mark.parametrize(
    ("part", "words", "others"),
    [
        ("word/comments.xml", b"w:initials", b"w:first"),
        ("word/comments.xml", rb"<(/?)w:p\b", rb"<\1w:q"),
        ("word/document.xml", rb'(<w:del )w:id="\d+" ', rb"\1"),
        ("word/document.xml", b"commentRangeEnd", b"commentRange"),
    ],
)
def test_the_schema_of_a_docx_tells_faults(part: str, words: bytes, others: bytes, docx: Path) -> None:
    old = zipfile.ZipFile(docx)
    parts = {name: old.read(name) for name in old.namelist()}
    parts[part] = re.sub(words, others, parts[part])
    docx.write_bytes(packed(parts))
    added = faults_of_docx(docx) - faults_of_docx(docx.with_name("a.docx"))
    assert {place for place, _ in added} == {f"/{part}"}


def test_a_marked_odt_is_valid(tmp_path: Path) -> None:
    schema = schema_of_odf()
    original, copy = tmp_path / "a.odt", tmp_path / "m.odt"
    original.write_bytes(in_odt(*PLAY))
    assert write_marked(checked(original), "odt", str(copy), NOW) == 3
    content = content_of(copy)
    assert schema.validate(content), schema.error_log
    for name in ("annotation-end", "change-start", "changed-region"):
        damaged = content_of(copy)
        each = next(each for each in damaged.iter() if etree.QName(each).localname == name)
        each.attrib.clear()
        assert not schema.validate(damaged), name
