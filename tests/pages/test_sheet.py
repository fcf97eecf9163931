"""The proof sheet without a browser: what stands on it, and that no text becomes markup."""

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from corpus_checked import checked, texts
from hypothesis import given, settings
from hypothesis import strategies as st
from keyproof.grammar.spans import Span
from keyproof.linter.cli import cli
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.linter.results import FileResult, Remark
from keyproof.linter.sheet.markup import Markup, join, tag
from keyproof.linter.sheet.page import page
from keyproof.linter.sheet.stretches import stretches
from keyproof.linter.sheet.text import Author, Marked
from keyproof.linter.sources import document_from_text
from keyproof.rules.finding import Level
from msgspec.structs import replace

FEN = "8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1"
DRAFT = f"""# Wednesday Bulletin

## No. 1 The waiting king

`{FEN}`

White to play and mate in two. (3+3)

Try: 1.Rg5+? Kh3!

Key: 1.Kg2!

- 1...Kh4 2.Re3#
- 1...h4 2.Rg5#
"""


class Text(HTMLParser):
    """Collects the elements and the text of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.text += data


def read(html: str) -> Text:
    parser = Text()
    parser.feed(html)
    return parser


def sheet_of(text: str, path: str = "column.md") -> str:
    return page([check_text(path, text, Options())], Options())


def run(*arguments: str) -> Result:
    return CliRunner().invoke(cli, ["sheet", *arguments])


def test_what_stands_on_the_page() -> None:
    html = sheet_of(DRAFT)
    text = read(html).text
    for words in (
        "No. 1 The waiting king",
        "White to play, mate in two (#2) (3+2)",
        "2.Re3 is not mate, not even check",
        "[mate-without-check]",
        "the diagram has 3 white and 2 black men, not 3+3",
        "Key: 1.Kg2!",
        "1...Kh4 2.Re4#",
        "It threatens nothing: zugzwang.",
        "The rook on g5 gives check",
        "1.Rxh5? but 1...Kxh5!",
        "Checked 7 of 7 move mentions.",
        "1 puzzle in 1 file",
    ):
        assert words in text


def test_every_finding_is_marked_and_leads_to_its_note() -> None:
    result = check_text("column.md", DRAFT, Options())
    tags = read(page([result], Options())).tags
    ids = [attributes["id"] for _, attributes in tags if "id" in attributes]
    assert len(ids) == len(set(ids))
    links = [attributes["href"] for name, attributes in tags if name == "a"]
    assert {(link or "").removeprefix("#") for link in links} <= set(ids)
    assert sum(name == "mark" for name, _ in tags) >= len(result.findings)
    for number in range(1, len(result.findings) + 1):
        assert f"note{number}" in ids
        assert f"place{number}" in ids


def test_the_page_is_complete_in_itself() -> None:
    """Nothing is fetched: no address but those of the SVG name space and of places on the page."""
    html = sheet_of(DRAFT)
    for _, attributes in read(html).tags:
        for name in ("src", "href", "data", "action", "srcset"):
            assert (attributes.get(name) or "#").startswith("#")
    assert "@import" not in html
    assert "url(" not in html.replace("url(#hatch)", "")
    policies = [attributes["content"] for _, attributes in read(html).tags if "http-equiv" in attributes]
    assert [(policy or "").split(";")[0] for policy in policies] == ["default-src 'none'"]


@pytest.mark.parametrize(
    ("path", "text"),
    [
        ("title.md", DRAFT.replace("The waiting king", "<script>alert(1)</script>")),
        ("title.txt", f"No. 1 <img src=x onerror=alert(1)>\n{FEN}\nMate in two.\n1.Kg2! Kh4 2.Re3#\n"),
        ("comment.pgn", f'[SetUp "1"]\n[FEN "{FEN}"]\n[Event "</title><script>alert(1)</script>"]\n\n'
                        "1. Kg2 {<script>alert(1)</script>} 1... Kh4 2. Re4# *\n"),
        ("</title><script>alert(1)</script>.md", DRAFT),
    ],
)  # fmt: skip
def test_text_stays_text(path: str, text: str) -> None:
    parser = read(sheet_of(text, path))
    assert [name for name, _ in parser.tags].count("script") == 1
    assert not any(name == "img" for name, _ in parser.tags)
    assert not any(key.startswith("on") for _, attributes in parser.tags for key in attributes)


@given(st.text())
def test_markup_escapes(text: str) -> None:
    parser = read(tag("p", text, title=text) + join(text))
    assert [name for name, _ in parser.tags] == ["p"]
    plain = text.replace("\r\n", "\n").replace("\r", "\n")
    assert parser.text.replace("\r\n", "\n").replace("\r", "\n") == plain * 2


def test_markup_is_left_as_it_is() -> None:
    assert tag("p", Markup("<b>x</b>"), None, ["<", Markup("&amp;")]) == "<p><b>x</b>&lt;&amp;</p>"
    assert tag("br") == "<br>"
    assert tag("a", class_="x", aria_label="y", hidden=True, open=False) == '<a class="x" aria-label="y" hidden></a>'


@settings(max_examples=200)
@given(st.text(alphabet="ab<&\n", max_size=20), st.lists(st.tuples(st.integers(0, 20), st.integers(0, 20))))
def test_marks_change_no_word(text: str, places: list[tuple[int, int]]) -> None:
    """Whatever is marked, overlapping or empty, the author's words stay, and every finding has its number once."""
    spans = [Span(*sorted((min(a, len(text)), min(b, len(text))))) for a, b in places]
    marks = [Marked(number, span, Level.error, "m") for number, span in enumerate(spans, start=1)]
    author = Author(document_from_text("a.txt", text, "text"), markdown=False)
    html = "\n".join(row for _, row in author.rows(Span(0, len(text)), marks, ()))
    parser = read(html)
    numbers = [attributes["id"] for name, attributes in parser.tags if name == "a"]
    assert sorted(str(each) for each in numbers) == sorted(f"place{mark.number}" for mark in marks)
    assert read(re.sub(r"<a [^>]*>\d+</a>", "", html)).text.rstrip() == text.rstrip()


APART = """# Wednesday Bulletin

Three for tonight, **solutions below**.

## No. 1 The waiting king

`8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1`

Mate in two.

## No. 2 No king at all

`8/8/4N3/4R2p/8/8/5K2/8 w - - 0 1`

Mate in two.

Goodbye until Wednesday.

# Solutions

No. 1: 1.Kg2! Kh4 2.Re3#, 1...h4 2.Rg5#

No. 2: 1.Kg3!
"""


@pytest.mark.parametrize(("path", "text"), [("apart.md", APART), ("column.md", DRAFT)])
def test_the_whole_text_is_there_in_order(path: str, text: str) -> None:
    the_whole_text_is_there(check_text(path, text, Options(show_moves=True, effort=0.001)), text)


@pytest.mark.parametrize("path", [*texts("demo"), *texts("talks")], ids=lambda path: path.name)
def test_the_whole_of_each_text_of_the_corpus_is_there(path: Path) -> None:
    the_whole_text_is_there(checked(path), path.read_text(encoding="utf-8"))


def the_whole_text_is_there(result: FileResult, text: str) -> None:
    shown = "".join(stretch.span.of(result.text) for stretch in stretches(result))
    assert shown == text
    parser = read(page([result], Options(effort=0.001)))
    numbers = [int(attributes["data-line"] or 0) for _, attributes in parser.tags if "data-line" in attributes]
    assert numbers == sorted(set(numbers))
    words = [word for number, line in enumerate(text.splitlines(), 1) if number in numbers for word in line.split()]
    assert words == text.split()


def test_a_solution_apart_from_its_diagram_is_beside_it_again() -> None:
    html = page([check_text("apart.md", APART, Options(show_moves=True))], Options())
    text = read(html).text
    assert "2.Re3 is not mate, not even check" in text
    assert text.count("Key: 1.Kg2!") == 1  # the proof
    assert "No. 1 The waiting king. White to play, mate in two" in text
    assert "Three for tonight" in text
    assert "Nothing was checked: there is no position." in text
    assert "Goodbye until Wednesday." in text


def test_signs_of_markdown_look_as_they_mean() -> None:
    html = page([check_text("apart.md", APART, Options())], Options())
    assert '<span class="strong"><' not in html
    assert re.search(r'class="sign strong">\*\*</span><span class="strong">solutions below</span>', html)
    assert re.search(r'<span class="[^"]*code[^"]*">8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1</span>', html)


def test_a_title_stands_once() -> None:
    html = page([check_text("apart.md", APART, Options())], Options())
    assert html.count("<h3") == 2
    article = re.sub("<[^>]+>", "", html[html.index('<article id="puzzle1"') : html.index("</article>")])
    assert article.count("The waiting king") == 2  # the heading, and the name of the diagram, which is heard only


def test_lines_have_their_numbers() -> None:
    html = page([check_text("column.md", DRAFT, Options())], Options())
    number = DRAFT[: DRAFT.index("2.Re3#")].count("\n") + 1
    row = next(row for row in html.split('<span class="row"') if "2.Re3" in row)
    assert f'data-line="{number}"' in row
    assert f" line {number}, " in read(html).text


def test_what_kept_the_file_from_being_checked_is_on_the_page() -> None:
    result = check_text("column.md", DRAFT, Options())
    told = replace(result, remarks=(Remark(Span(0, 0), "read as Windows-1252"),))
    assert "note: read as Windows-1252" in read(page([told], Options())).text


def test_many_puzzles_can_be_narrowed_to_those_with_findings() -> None:
    clean = DRAFT.replace("3+3", "3+2").replace("Re3#", "Re4#").replace("Try: 1.Rg5+? Kh3!", "")
    assert not check_text("clean.md", clean, Options()).findings
    results = [check_text(f"{number}.md", clean if number else DRAFT, Options()) for number in range(5)]
    html = page(results, Options())
    assert "Only puzzles with findings (1 of 5)" in read(html).text
    entries = [attributes["class"] for name, attributes in read(html).tags if name == "li" and attributes.get("class")]
    assert entries[:5] == ["faulty", "clean", "clean", "clean", "clean"]
    assert "Only puzzles" not in read(page(results[1:], Options())).text


def test_files_that_cannot_be_checked_are_named() -> None:
    html = page([FileResult("gone.md", error="there is no such file or folder")], Options())
    assert "Not checked: there is no such file or folder" in read(html).text
    assert "could not be checked at all" in read(html).text


def test_a_file_name_that_is_no_text() -> None:
    html = page([check_text("col\udcffumn.md", DRAFT, Options())], Options())
    assert "col\\xffumn.md" in html.encode().decode()


def test_a_puzzle_without_a_usable_position() -> None:
    text = read(sheet_of("No. 1 Broken\n9/8/8/8/8/8/8/K6k w - - 0 1\nMate in two.\n", "column.txt")).text
    assert "No position that can be played from was found." in text


def test_help_play_has_its_solutions() -> None:
    text = read(sheet_of("8/8/8/8/7R/2K5/8/1k6 b - - 0 1\nHelpmate in 1.\n1.Kc1 Rh1#\n", "column.txt")).text
    assert "Solutions" in text
    assert "Black begins, helpmate in one (h#1) (2+1)" in text


def test_the_command(tmp_path: Path) -> None:
    column, target = tmp_path / "column.md", tmp_path / "sheet.html"
    column.write_text(DRAFT, encoding="utf-8")
    assert run(str(column), "-o", str(target)).exit_code == 0
    assert target.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    done = run(str(column), str(tmp_path / "gone.md"), "-o", str(target))
    assert done.exit_code == 2
    assert "there is no such file or folder" in done.stderr
    assert "No. 1 The waiting king" in target.read_text(encoding="utf-8")
    assert run(str(column), "-o", str(tmp_path / "no folder" / "sheet.html")).exit_code == 2


def test_the_same_text_gives_the_same_page() -> None:
    assert sheet_of(DRAFT) == sheet_of(DRAFT)


def test_mates_with_different_reasons_are_told_apart() -> None:
    """Charles XII, first part (Loyd, Chess Monthly, 1859): 2.Rh3 mates the king on h5 as well as on h4."""
    text = "8/6R1/7p/5K1k/8/6p1/5bPP/4N3 w - - 0 1\nMate in three.\n1.Rxg3!\n"
    said = read(sheet_of(text, "column.txt")).text
    assert "After 1...Kh4: The rook on h3 gives check, guards g3 and guards h5 through the king's own square." in said
    assert "The rook on h3 gives check and guards h4." in said
