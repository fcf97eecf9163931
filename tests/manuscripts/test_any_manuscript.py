"""Nothing that is read breaks a reader: random bytes, files with random bytes in them, random text in each kind."""

import re

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from keyproof.grammar.spans import Span
from keyproof.linter.manuscripts.marking import Mark, Marks, Placing
from keyproof.linter.manuscripts.model import Manuscript, Refused
from keyproof.linter.manuscripts.reading import read, taken_apart
from keyproof.rules.finding import Edit

from .samples import docx, odt, paragraph, pdf_of
from .test_pdf import shown

CHEAP = ("docx", "odt", "html", "latex", "rtf")  # a PDF starts a process each time
MAKERS = {
    "docx": docx(paragraph("1.Kg2! ", "Kh4") + paragraph("2.Re4#")),
    "odt": odt("<text:p>1.Kg2! <text:span>Kh4</text:span></text:p>"),
    "html": b"<table><tr><td>1.Kg2!<td>Kh4</table><p>&amp;<!-- x --><pre>2</pre>",
    "latex": rb"\begin{document}\section{a} 1.\textbf{Kg2}\# $x$ \begin{tabular}{l}a & b\\ \end{tabular}\end{document}",
    "rtf": rb"{\rtf1\ansi 1.Kg2!\par {\b Kh4}\line 2{\*\footnote a}\par a\cell b\cell\row}",
}
words = st.text(st.sampled_from("1.Qb6#+ \u00a0\t-–♕()éß𝄞&<>"), min_size=1, max_size=12).filter(str.strip)


def whole(document: Manuscript) -> None:
    """Check what every reader promises."""
    assert len(document.masked) == len(document.text)
    ends = 0
    for block in document.blocks:
        assert ends <= block.span.start < block.span.end <= len(document.text)
        ends = block.span.end
    assert list(document.named) == sorted(document.named)
    if document.source is not None:
        for start in range(0, len(document.text), 3):
            span = document.in_file(Span(start, min(start + 2, len(document.text))))
            assert 0 <= span.start <= span.end <= len(document.source)


def tried(kind: str, data: bytes) -> None:
    try:
        whole(read("a", data, kind))  # type: ignore[arg-type]
    except Refused as refused:
        said = refused.message
    else:
        return
    assert said
    assert "\n" not in said


@pytest.mark.parametrize("kind", CHEAP)
@given(data=st.binary(max_size=200))
def test_random_bytes(kind: str, data: bytes) -> None:
    tried(kind, data)


@pytest.mark.parametrize("kind", CHEAP)
@settings(suppress_health_check=[HealthCheck.large_base_example, HealthCheck.data_too_large])
@given(changes=st.lists(st.tuples(st.integers(0, 10_000), st.integers(0, 255)), min_size=1, max_size=6))
def test_a_damaged_file(kind: str, changes: list[tuple[int, int]]) -> None:
    data = bytearray(MAKERS[kind])
    for place, value in changes:
        data[place % len(data)] = value
    tried(kind, bytes(data))


@settings(max_examples=min(100, max(12, settings().max_examples // 5)))  # each starts a process
@given(changes=st.lists(st.tuples(st.integers(0, 10_000), st.integers(0, 255)), min_size=1, max_size=6))
def test_a_damaged_pdf(changes: list[tuple[int, int]]) -> None:
    data = bytearray(pdf_of([shown((60, 700, 10, "1.Kg2! Kh4"), (60, 680, 10, "2.Re4#"))]))
    for place, value in changes:
        data[place % len(data)] = value
    tried("pdf", bytes(data))


@given(st.lists(st.lists(words, min_size=1, max_size=3), min_size=1, max_size=4))
def test_xml_text_comes_out_as_it_went_in(paragraphs: list[list[str]]) -> None:
    def escaped(text: str) -> str:
        return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")

    in_docx = docx("".join(paragraph(*map(escaped, runs)) for runs in paragraphs))
    document = read("a", in_docx, "docx")
    whole(document)
    assert re.sub(r"\s", "", document.text) == re.sub(r"\s", "", "".join("".join(runs) for runs in paragraphs))
    body = "".join(
        "<text:p>" + "".join(f"<text:span>{escaped(run)}</text:span>" for run in runs) + "</text:p>"
        for runs in paragraphs
    )
    document = read("a", odt(body), "odt")
    whole(document)
    assert re.sub(r"\s", "", document.text) == re.sub(r"\s", "", "".join("".join(runs) for runs in paragraphs))


@pytest.mark.parametrize("kind", ["docx", "odt"])
@given(
    runs=st.lists(st.text("abcdefgh 12#", min_size=1, max_size=6).filter(str.strip), min_size=1, max_size=4),
    edits=st.lists(st.tuples(st.integers(0, 20), st.integers(0, 6), st.text("xyz", max_size=3)), max_size=3),
)
def test_edits_and_comments_anywhere_come_to_the_edited_text(
    kind: str, runs: list[str], edits: list[tuple[int, int, str]]
) -> None:
    """Marks at random places: read again, the file says what the edits made of it, and the rest as it was."""
    if kind == "docx":
        data = docx(paragraph(*runs))
    else:
        data = odt("<text:p>" + "".join(f"<text:span>{run}</text:span>" for run in runs) + "</text:p>")
    assembled, made = taken_apart("a", data, kind)  # type: ignore[arg-type]
    text = assembled.document.text.rstrip("\n")
    marks, last = [], -1
    for start, size, new in sorted(edits):
        span = Span(min(start, len(text)), min(start + size, len(text)))
        if span.start <= last or (not new and span.start == span.end):
            continue
        last = span.end
        marks.append(
            Mark(Span(span.start, max(span.end, min(span.start + 1, len(text)))), ("m [a-rule]",), (Edit(span, new),))
        )
    from importlib import import_module

    module = import_module(f"keyproof.linter.manuscripts.{kind}_marks")
    again = read("a", module.marked(data, made, Placing(assembled), Marks(tuple(marks), "2026-01-01T00:00:00Z")), kind)  # type: ignore[arg-type]
    expected = text
    for mark in reversed(marks):
        (edit,) = mark.edits
        expected = expected[: edit.span.start] + edit.text + expected[edit.span.end :]
    assert re.sub(r"\s+", " ", again.text).strip() == re.sub(r"\s+", " ", expected).strip()
    assert len(again.ours) == (len(marks) if expected.strip() else len(again.ours))
