"""What is read of HTML and LaTeX; both are text, so that places are those of the file itself.

HTML: the HTML standard, 13.1.2.4 (tags that may be left out) and 13.5 (named characters). LaTeX: from memory.
"""

import pytest
from keyproof.grammar.spans import Span
from keyproof.linter.manuscripts.model import Manuscript
from keyproof.linter.manuscripts.reading import read


def page(source: str) -> Manuscript:
    return read("a.html", source.encode(), "html")


def source(words: str) -> Manuscript:
    return read("a.tex", words.encode(), "latex")


@pytest.mark.parametrize(
    ("markup", "read_as"),
    [
        ("<p>1.<b>Q</b>b6&#8224;", "1.Qb6†"),
        ("<p>1.&#x2655;b6&dagger;&nbsp;Kc4", "1.♕b6†\u00a0Kc4"),
        ("<p>a<script>1.Qa1</script><style>b{}</style><!-- 1.Qa1 -->b", "ab"),
        ("<p>1.Qb6\n   Kc4", "1.Qb6 Kc4"),
        ("<p>1.Qb6<br>Kc4", "1.Qb6\nKc4"),
        ("<pre>8 . .\n7 . .</pre>", "8 . .\n7 . ."),
        ("<p>one<p>two", "one\n\ntwo"),
        ("<ul><li>one<li>two</ul>", "one\n\ntwo"),
        ("<p>2.Qb6#<sup>1</sup>, x<sup>a</sup>", "2.Qb6#, xa"),
        ('<p>1.<img src="q.gif" alt="Q">b6', "1.Qb6"),
        ("<p>check&shy;mate", "checkmate"),
        ("<p>&unknown; & <", "&unknown; & <"),
        ("<nav>menu</nav><p>text<del>gone</del>", "text"),
        ("<table><tr><td>1...Ka4<td>2.Qb4#<tr><td>a</table>", "1...Ka4    2.Qb4#\n\na"),
    ],
)
def test_html_is_read_as_a_browser_shows_it(markup: str, read_as: str) -> None:
    assert page(markup).text.removesuffix("\n\n") == read_as


@pytest.mark.parametrize("start", ["", "<html>\n<body>\n", "<p>é 𝄞</p>\r\n"])
def test_a_place_of_a_page_leads_to_the_words_in_it(start: str) -> None:
    markup = f"{start}<p>Key: 1.<i>Qb6</i>&amp; 1.Qb7\n  <b>and</b> 1.Kc5"
    found = page(markup)
    for words in ("1.Qb7", "Qb6", "1.Kc5", "&"):
        at = found.text.index(words)
        span = found.in_file(Span(at, at + len(words)))
        assert span.of(markup) == ("&amp;" if words == "&" else words)


def test_a_drawing_in_a_page_names_its_position() -> None:
    fen = "8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1"
    found = page(f"<h2>No. 7</h2><svg><title>t</title><metadata>FEN: {fen}</metadata><text>x</text></svg><p>1.Kg2!")
    assert found.text == f"No. 7\n\n{fen}\n\n1.Kg2!\n\n"
    assert page("<svg><text>x</text></svg><p>y").passed_over[0][1].startswith("figure 1 is a picture:")


@pytest.mark.parametrize(
    ("words", "read_as"),
    [
        (r"\textbf{1.Q}b6\#", "1.Qb6#"),
        (r"1.\,Qb6~Kc4", "1. Qb6\u00a0Kc4"),
        (r"1\ldots Kc4, 1\dots{}Kd5", "1...Kc4, 1...Kd5"),
        (r"$1\ldots Kc4\dagger$", "1...Kc4†"),
        ("``mate''", "“mate”"),
        ("a % 1.Qa1\nb", "a b"),
        (r"\fenboard{8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1}", "8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1"),
        (r"\mainline{1.Qb6! Ka4 2.Qb4\#}", "1.Qb6! Ka4 2.Qb4#"),
        (r"1.\knight f3", "1.♘f3"),
        (r"1.\whatever f3", "1.\u0298f3"),
        (r"M\'er\`e L\"osung \ss", "Mérè Lösung ß"),
        (r"\begin{tabular}{ll}1...Ka4 & 2.Qb4\# \\ a & b\end{tabular}", "1...Ka4    2.Qb4#\n\na    b"),
        (r"\begin{enumerate}\item Qb6 Ka4 \item Qb4\# \item words\end{enumerate}", "1. Qb6 Ka4\n\n2. Qb4#\n\nwords"),
        (r"1.Qb6!\footnote{Or 1.Qa1.} Ka4", "1.Qb6! Ka4\n\nOr 1.Qa1."),
        (r"\section{No. 1}\label{a} text", "No. 1\n\ntext"),
        ("\\begin{verbatim}\n8 . #\n\\end{verbatim}", "8 . #"),
    ],
)
def test_latex_is_read_as_it_is_set(words: str, read_as: str) -> None:
    preamble = "\\documentclass{article}\n\\newcommand{\\x}{1.Qa1}\n\\begin{document}\n"
    found = source(preamble + words + "\n\\end{document}\n")
    assert found.text.strip() == read_as


def test_a_place_of_a_source_leads_to_the_words_in_it() -> None:
    words = "\\begin{document}\nKey: \\textbf{1.Qb6\\#} and\n  \\emph{1.Kc5}\n\\end{document}"
    found = source(words)
    at = found.text.index("Qb6#")
    assert found.in_file(Span(at, at + 4)).of(words) == "Qb6\\#"
    at = found.text.index("1.Kc5")
    assert found.in_file(Span(at, at + 5)).of(words) == "1.Kc5"


def test_a_command_that_hides_a_man_is_named_and_its_move_is_not_read() -> None:
    from keyproof.linter.options import Options
    from keyproof.linter.pipeline import check_document

    head = "FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1\n\nMate in two.\n\n"
    result = check_document(source(head + r"1.\myking g2! Kh4 2.Re4\#, 1...h4 2.Rg5\#"), Options())
    assert any("\\myking is not known" in remark.message for remark in result.remarks)
    assert not any(placed.finding.level.name == "error" for placed in result.findings)
