"""Answers to the comments of keyproof, when a manuscript comes back: "sic", and comments that were resolved.

As word processors write them: MS-DOCX 2.5.1 (commentEx), ISO 32000-1 (12.5.6.2 and 12.5.6.3), what LibreOffice adds to
annotations. test_office.py has such answers written by LibreOffice itself.
"""

import zipfile
from pathlib import Path

import pytest
from keyproof.linter.manuscripts.marking import write_marked
from keyproof.linter.manuscripts.package import local, parse
from lxml import etree
from pypdf import PdfWriter
from pypdf.generic import DictionaryObject, NameObject, TextStringObject

from .samples import W, packed
from .test_marking import NOW, PLAY, checked, comments_at, in_docx, in_odt, in_pdf, rules


def _beside(parts: dict[str, bytes], known: str, answer: str) -> None:
    """Give the answer to a comment its range: that of the comment."""
    main = parts["word/document.xml"]
    for name in ("commentRangeStart", "commentRangeEnd"):
        edge = f'<w:{name} w:id="%s"/>'
        assert (edge % known).encode() in main
        main = main.replace((edge % known).encode(), (edge % known + edge % answer).encode())
    called = '<w:r><w:commentReference w:id="%s"/></w:r>'
    assert (called % known).encode() in main
    parts["word/document.xml"] = main.replace((called % known).encode(), (called % known + called % answer).encode())


def answered(path: Path, reply: str, *, done: bool = False) -> None:
    """Answer the comment on the mate that is none, as a word processor writes it (MS-DOCX 2.5.1, commentEx)."""
    old = zipfile.ZipFile(path)
    parts = {name: old.read(name) for name in old.namelist()}
    w14, w15 = (
        "http://schemas.microsoft.com/office/word/2010/wordml",
        "http://schemas.microsoft.com/office/word/2012/wordml",
    )
    comments = parse(parts["word/comments.xml"], "comments")
    target = next(each for each in comments if "check-not-mate" in "".join(each.itertext()))
    [line for line in target if local(line) == "p"][-1].set(f"{{{w14}}}paraId", "0A")
    extended = f'<w15:commentEx w15:paraId="0A" w15:done="{int(done)}"/>'
    if reply:
        answer = etree.SubElement(comments, f"{{{W}}}comment", {f"{{{W}}}id": "77", f"{{{W}}}author": "The columnist"})
        paragraph_ = etree.SubElement(answer, f"{{{W}}}p", {f"{{{w14}}}paraId": "0B"})
        etree.SubElement(etree.SubElement(paragraph_, f"{{{W}}}r"), f"{{{W}}}t").text = reply
        extended += '<w15:commentEx w15:paraId="0B" w15:paraIdParent="0A" w15:done="0"/>'
    parts["word/comments.xml"] = etree.tostring(comments)
    parts["word/commentsExtended.xml"] = f'<w15:commentsEx xmlns:w15="{w15}">{extended}</w15:commentsEx>'.encode()
    if reply:
        _beside(parts, target.get(f"{{{W}}}id") or "", "77")
    links, types = parts["word/_rels/document.xml.rels"], parts["[Content_Types].xml"]
    kind = "http://schemas.microsoft.com/office/2011/relationships/commentsExtended"
    link = f'<Relationship Id="rx" Type="{kind}" Target="commentsExtended.xml"/></Relationships>'
    parts["word/_rels/document.xml.rels"] = links.replace(b"</Relationships>", link.encode())
    sort = "application/vnd.openxmlformats-officedocument.wordprocessingml.commentsExtended+xml"
    override = f'<Override PartName="/word/commentsExtended.xml" ContentType="{sort}"/></Types>'
    parts["[Content_Types].xml"] = types.replace(b"</Types>", override.encode())
    path.write_bytes(packed(parts))


@pytest.mark.parametrize(
    ("reply", "done", "left"),
    [
        ("sic", False, []),
        ("[sic]", False, []),
        ("Sic!", False, []),
        ("why?", False, ["check-not-mate"]),
        ("", True, []),
        ("", False, ["check-not-mate"]),
    ],
)
def test_what_is_answered_sic_or_resolved_is_not_said_again(
    reply: str, done: bool, left: list[str], tmp_path: Path
) -> None:
    path, copy = tmp_path / "a.docx", tmp_path / "m.docx"
    path.write_bytes(in_docx(*PLAY))
    write_marked(checked(path), "docx", str(copy), NOW)
    answered(copy, reply, done=done)
    assert rules(checked(copy)) == left


def answered_pdf(path: Path, reply: str, state: str | None) -> None:
    """Answer the comment on the mate that is none with a note of its own (ISO 32000-1, 12.5.6.2 and 12.5.6.3)."""
    writer = PdfWriter(clone_from=path)  # as a program that writes the file anew
    page = writer.pages[0]
    target = next(each for each in page["/Annots"] if "check-not-mate" in each.get_object()["/Contents"])  # type: ignore[attr-defined]
    answer = DictionaryObject(
        {
            NameObject("/Type"): NameObject("/Annot"),
            NameObject("/Subtype"): NameObject("/Text"),
            NameObject("/Rect"): target.get_object()["/Rect"],
            NameObject("/IRT"): target,
            NameObject("/T"): TextStringObject("The columnist"),
            NameObject("/Contents"): TextStringObject(reply),
        }
    )
    if state is not None:
        answer[NameObject("/StateModel")] = TextStringObject("Review")
        answer[NameObject("/State")] = TextStringObject(state)
    writer.add_annotation(page, answer)
    writer.write(path)


@pytest.mark.parametrize(
    ("reply", "state", "left"),
    [
        ("sic", None, False),
        ("[sic]", None, False),
        ("why?", None, True),
        ("", "Completed", False),
        ("Completed set by the columnist", "Completed", False),
        ("", "Accepted", True),  # the comment is right: the fault is still there
    ],
)
def test_an_answered_annotation_of_a_pdf(reply: str, state: str | None, left: bool, tmp_path: Path) -> None:
    path, copy = tmp_path / "a.pdf", tmp_path / "m.pdf"
    path.write_bytes(in_pdf(*PLAY))
    write_marked(checked(path), "pdf", str(copy), NOW)
    answered_pdf(copy, reply, state)
    assert ("check-not-mate" in rules(checked(copy))) == left
    assert {"needless-origin", "mate-marked-check"} <= set(rules(checked(copy)))
    assert any("check-not-mate" in words for words, _ in comments_at(copy, only="/Highlight"))


def test_a_resolved_comment_holds_for_what_it_said_only(tmp_path: Path) -> None:
    path, copy = tmp_path / "a.docx", tmp_path / "m.docx"
    path.write_bytes(in_docx(*PLAY))
    write_marked(checked(path), "docx", str(copy), NOW)
    answered(copy, "", done=True)
    old = zipfile.ZipFile(copy)
    parts = {name: old.read(name) for name in old.namelist()}
    parts["word/document.xml"] = parts["word/document.xml"].replace(b"2.Re<", b"2.Rd<").replace(b">4<", b">5<")
    copy.write_bytes(packed(parts))
    assert [each.finding.message for each in checked(copy).findings] != []


def test_a_sic_that_is_not_needed_is_said(tmp_path: Path) -> None:
    path, copy = tmp_path / "a.docx", tmp_path / "m.docx"
    path.write_bytes(in_docx(*PLAY))
    write_marked(checked(path), "docx", str(copy), NOW)
    answered(copy, "sic")
    old = zipfile.ZipFile(copy)
    parts = {name: old.read(name) for name in old.namelist()}
    parts["word/document.xml"] = parts["word/document.xml"].replace(b"2.Re<", b"2.Rg<").replace(b">4<", b">5<")
    copy.write_bytes(packed(parts))
    assert [remark.message for remark in checked(copy).remarks] == [
        'the comment on check-not-mate is answered "sic", and there is nothing to accept'
    ]


@pytest.mark.parametrize(("attribute", "left"), [(' loext:resolved="true"', []), ("", ["check-not-mate"])])
def test_a_resolved_annotation(attribute: str, left: list[str], tmp_path: Path) -> None:
    path, copy = tmp_path / "a.odt", tmp_path / "m.odt"
    path.write_bytes(in_odt(*PLAY))
    write_marked(checked(path), "odt", str(copy), NOW)
    old = zipfile.ZipFile(copy)
    parts = {name: old.read(name) for name in old.namelist()}
    content = parts["content.xml"].decode()
    place = content.index("check-not-mate")
    tag = content.rindex("<office:annotation ", 0, place) + len("<office:annotation")
    namespace = ' xmlns:loext="urn:org:documentfoundation:names:experimental:office:xmlns:loext:1.0"'
    parts["content.xml"] = (content[:tag] + namespace + attribute + content[tag:]).encode()
    copy.write_bytes(packed(parts))
    assert rules(checked(copy)) == left
