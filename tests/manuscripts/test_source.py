"""Edits of HTML and LaTeX are made in the source: read again, it says what the edited text says."""

import random

import pytest
from keyproof.grammar.spans import Span
from keyproof.linter.manuscripts.encoding import decoded
from keyproof.linter.manuscripts.model import Manuscript, Refused, SourceKind
from keyproof.linter.manuscripts.reading import source_taken_apart
from keyproof.linter.manuscripts.source import Source, paragraphs
from keyproof.rules.finding import Edit

HTML = """<!DOCTYPE html>
<html><head><title>1.Qa1</title></head><body>
<h2>No. 7: The <i>waiting</i> king</h2>
<p>White to play &amp; mate in&nbsp;two.
   (3+3)</p>
<ul><li>1.Kg2! Black is in zugzwang.<li>1...Kh4 2.<b>Re</b>4#</ul>
<pre>8 . .
7 &lt; .</pre>
<table><tr><td>1...Kh4<td>2.Re4#</table>
<p>caf&eacute;<br>second line<script>1.Qa1</script> third</p>
</body></html>
"""
LATEX = r"""\documentclass{article}
\begin{document}
\section{No. 7: The \emph{waiting} king}
White to play \& mate in~two. % 1.Qa1
 (3+3)\footnote{As printed.}

Key: 1.\textbf{Kg2}! \ldots{} 1...Kh4 2.Re4\#\\ caf\'e
\begin{itemize}
\item 1...h4 2.Rg5\#
\end{itemize}
\begin{tabular}{ll}
1...Kh4 & 2.Re4\#
\end{tabular}
\begin{verbatim}
8 . #
\end{verbatim}
\end{document}
"""
SOURCES: dict[SourceKind, str] = {"html": HTML, "latex": LATEX}
WORDS = ("Re5#", "x", "a & <b>", "50%", "$x_1$ {y} ~ \\z", "two\nlines", "é♔𝄞", "")


def read(text: str, kind: SourceKind) -> Manuscript:
    return source_taken_apart("a", text, kind).document


@pytest.mark.parametrize("kind", SOURCES)
def test_an_edit_says_the_same_in_the_source(kind: SourceKind) -> None:
    document = read(SOURCES[kind], kind)
    source, text = Source(document), document.text
    chance = random.Random(17)
    made = 0
    for _ in range(1500):
        start = chance.randrange(len(text))
        span = Span(start, min(len(text), start + chance.choice((0, 1, 2, 5))))
        if (
            any(sign.isspace() for sign in span.of(text))
            or not text[max(0, span.start - 1) : span.end + 1].isprintable()
        ):
            continue  # blanks and ends of passages are laid out anew by their reader
        if " " in (text[span.start - 1], text[span.end]) or not span.start:
            continue
        edit = Edit(span, chance.choice(WORDS))
        written = source.edit(edit)
        if written is None:
            continue
        made += 1
        new = source.text[: written.span.start] + written.text + source.text[written.span.end :]
        expected = text[: span.start] + edit.text + text[span.end :]
        assert read(new, kind).text == expected, (edit, written)
    assert made > 150


@pytest.mark.parametrize(
    ("kind", "words", "new"),
    [("html", "Kh4 2.Re4", "x"), ("html", "waiting king", "x"), ("latex", "Kg2!", "x"), ("latex", "king\n\nWhite", "x"),
     ("html", "1...Kh4", "two\nrows"), ("latex", "1...Kh4 ", "x")],
)  # fmt: skip
def test_no_edit_takes_a_tag_or_a_command_away(kind: SourceKind, words: str, new: str) -> None:
    source = Source(read(SOURCES[kind], kind))
    at = source.manuscript.text.rindex(words)
    assert source.edit(Edit(Span(at, at + len(words)), new)) is None


@pytest.mark.parametrize("kind", SOURCES)
def test_places_lead_into_the_source_and_back(kind: SourceKind) -> None:
    document = read(SOURCES[kind], kind)
    source = Source(document)
    for stretch in document.stretches:
        for step in range(len(stretch.span.of(document.text)) if stretch.exact else 1):
            there = source.span(Span(stretch.span.start + step, stretch.span.end)).start
            assert source.offset(there) == stretch.span.start + step
    assert source.offset(0) == 0
    assert 0 <= source.offset(len(source.text)) <= len(document.text)


@pytest.mark.parametrize("kind", SOURCES)
def test_paragraphs_are_read_as_they_were_told(kind: SourceKind) -> None:
    words = "Key: 1.Kg2! (50 % of <it>)\n\n1...Kh4 2.Re4#\n1...h4 2.Rg5#"
    assert read(paragraphs(words, kind), kind).text.strip() == words


@pytest.mark.parametrize(
    ("kind", "data"),
    [
        ("html", '<meta charset="iso-8859-1"><p>Lösung'.encode("latin-1")),
        ("html", "\ufeff<p>Lösung".encode()),
        ("html", "\ufeff<p>Lösung".encode("utf-16-le")),
        ("html", "<p>Lösung".encode()),
        ("latex", r"\usepackage[latin1]{inputenc} Lösung".encode("latin-1")),
        ("latex", r"\usepackage[applemac]{inputenc} Lösung".encode("mac_roman")),
    ],
)
def test_a_source_is_written_in_the_encoding_it_has(kind: SourceKind, data: bytes) -> None:
    found = decoded(data, kind)
    assert found.text.endswith("Lösung")
    assert found.encoded(found.text) == data


def test_letters_that_an_encoding_lacks() -> None:
    """HTML standard, 13.1.4: a character reference stands for any character."""
    page = decoded(b"<meta charset=latin1><p>\xfc", "html")
    assert page.encoded(page.text + "♔").endswith(b"\xfc&#9812;")
    latex = decoded(b"\\usepackage[latin1]{inputenc} \xfc", "latex")
    with pytest.raises(UnicodeEncodeError):
        latex.encoded(latex.text + "♔")
    assert latex.encoded(latex.text.replace("latin1", "utf8") + "♔").endswith("ü♔".encode())
    assert latex.encoded(latex.text.replace("latin1", "nonsense")).endswith(b"\xfc")


def test_an_encoding_that_is_none_is_told() -> None:
    with pytest.raises(Refused, match="is not UTF-8"):
        decoded(b"<p>L\xf6sung", "html")
    for data, kind in ((b"<meta charset=nonsense><p>\xf6", "html"), (b"[rot13]{inputenc} \xf6", "latex")):
        with pytest.raises(Refused, match="not known"):
            decoded(data, kind)  # type: ignore[arg-type]
