"""What is read of a PDF. Where characters stand is compared with `pdftotext -bbox` of poppler."""

import re
import subprocess
from html import unescape
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from keyproof.linter.manuscripts.model import Manuscript
from keyproof.linter.manuscripts.pdf import asked
from keyproof.linter.manuscripts.pdf_layout import Stroke, ordered
from keyproof.linter.manuscripts.pdf_text import Chars
from keyproof.linter.manuscripts.reading import read, taken_apart

from .office import needs_poppler
from .samples import pdf_of


def shown(*lines: tuple[float, float, float, str]) -> bytes:
    """Return a content stream with lines of text: left, base line, size, words."""
    return b"".join(
        b"BT /F1 %g Tf %g %g Td (%s) Tj ET\n"
        % (size, x, y, words.encode("cp1252").replace(b"\\", b"\\\\").replace(b"(", b"\\(").replace(b")", b"\\)"))
        for x, y, size, words in lines
    )


def manuscript(*pages: list[tuple[float, float, float, str]]) -> Manuscript:
    return read("a.pdf", pdf_of([shown(*page) for page in pages]), "pdf")


def column(x: float, words: list[str], top: float = 700) -> list[tuple[float, float, float, str]]:
    return [(x, top - 12 * number, 10, line) for number, line in enumerate(words)]


LEFT = [f"In the first column this is line number {number} of the text" for number in range(6)]
RIGHT = [f"The second column goes on with its line {number} beside it" for number in range(6)]


def test_two_columns_are_read_one_after_the_other() -> None:
    rows = [line for pair in zip(column(60, LEFT), column(320, RIGHT, 697), strict=True) for line in pair]
    found = manuscript(
        [(60, 740, 10, "A title over both of the columns runs across the whole page, from left to right edge"), *rows]
    )
    text = re.sub(r"\s+", " ", found.text)
    assert text.index(LEFT[5]) < text.index(RIGHT[0])
    assert text.index("A title") < text.index(LEFT[0])


def test_columns_that_stand_level_are_still_columns() -> None:
    found = manuscript([line for pair in zip(column(60, LEFT), column(320, RIGHT), strict=True) for line in pair])
    assert found.text.index(LEFT[5]) < found.text.index(RIGHT[0])


def test_a_table_of_variations_is_read_row_by_row() -> None:
    defences = ["1...Ka4", "1...Ka2", "1...Nb3", "1...Nc4", "1...Nb7"]
    mates = ["2.Qb4#", "2.Qb2#", "2.Qxb3#", "2.Qb3#", "2.Qb3#"]
    found = manuscript([*column(60, defences), *column(300, mates)])
    assert [re.split(r"\s{4,}", line.strip()) for line in found.text.splitlines() if line.strip()] == [
        [defence, mate] for defence, mate in zip(defences, mates, strict=True)
    ]


@pytest.mark.parametrize(
    ("first", "second", "joined"),
    [
        ("and this is check-", "mate in every line", "checkmate"),
        ("the line begins Sd3-", "f4 and goes on from there", "Sd3-f4"),
        ("the column of the year 1910-", "1912 says", "1910-"),
    ],
)
def test_words_that_are_parted_at_a_line_end_are_joined(first: str, second: str, joined: str) -> None:
    long = "A long line that reaches to the right edge of the text, as others do here too"
    assert joined in manuscript([(60, 700, 10, long), (60, 688, 10, first), (60, 676, 10, second)]).text


def test_running_heads_and_page_numbers_are_passed_over() -> None:
    pages = [
        [
            (60, 800, 10, f"The Lamplighter, page {page}"),
            (60, 700, 10, f"Words of page {page}."),
            (300, 40, 10, str(page)),
        ]
        for page in range(1, 5)
    ]
    found = manuscript(*pages)
    assert found.text == "".join(f"Words of page {page}.\n\n" for page in range(1, 5))
    assert found.place(found.text.index("page 3")) == "page 3, line 1"


def test_large_lines_are_headings() -> None:
    found = manuscript([(60, 760, 20, "The column"), (60, 730, 14, "No. 7"), *column(60, LEFT)])
    assert [(block.kind, block.level) for block in found.blocks][:2] == [("heading", 1), ("heading", 2)]


def test_raised_figures_are_no_part_of_a_move() -> None:
    content = (
        shown((60, 700, 10, "1.Qb6!")) + shown((88, 704, 6, "2")) + shown((94, 700, 10, "and the rest of the line"))
    )
    assert "2" not in read("a.pdf", pdf_of([content]), "pdf").text


def test_signs_that_come_later_in_the_file_stand_where_they_are_printed() -> None:
    content = (
        shown((60, 700, 10, "1.")) + shown((76.0, 700, 10, "b6 is the key of this one")) + shown((68.3, 700, 10, "Q"))
    )
    assert read("a.pdf", pdf_of([content]), "pdf").text.startswith("1.Qb6 is the key")


@needs_poppler
def test_characters_stand_where_poppler_sees_them(tmp_path: Path) -> None:
    rows = [line for pair in zip(column(60, LEFT), column(320, RIGHT, 697), strict=True) for line in pair]
    data = pdf_of([shown((60, 760, 18, "The Lamplighter"), *rows)])
    path = tmp_path / "a.pdf"
    path.write_bytes(data)
    boxes = subprocess.run(["pdftotext", "-bbox", str(path), "-"], capture_output=True, text=True, check=True).stdout
    theirs: dict[str, list[tuple[float, float, float, float]]] = {}
    for x0, y0, x1, y1, word in re.findall(
        r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>', boxes
    ):
        theirs.setdefault(unescape(word), []).append((float(x0), float(y0), float(x1), float(y1)))
    assembled, _ = taken_apart("a.pdf", data, "pdf")
    compared = 0
    for _, piece in assembled.pieces:
        if not isinstance(piece.node, Chars):
            continue
        for word in re.finditer(r"\S+", piece.text):
            numbers = piece.node.numbers[word.start() : word.end()]
            found = asked(data, {"boxes": {str(piece.node.page): numbers}})["boxes"][str(piece.node.page)]
            left, right = min(box[0] for box in found), max(box[2] for box in found)
            bottom, top = min(box[1] for box in found), max(box[3] for box in found)
            height = 842  # of the page; poppler counts from above
            assert any(
                abs(left - x0) < 1 and abs(right - x1) < 1 and y0 - 3 < height - (top + bottom) / 2 < y1 + 3
                for x0, y0, x1, y1 in theirs[word[0]]
            ), word[0]
            compared += 1
            if compared == 12:
                return
    raise AssertionError("too few words were compared")


@given(
    st.lists(
        st.tuples(st.floats(0, 500), st.floats(0, 800), st.integers(1, 30), st.sampled_from([8.0, 10.0, 18.0])),
        max_size=40,
    )
)
def test_the_order_of_lines_loses_nothing(places: list[tuple[float, float, int, float]]) -> None:
    strokes = [
        Stroke(f"{number:02}" + "x" * length, [number] * (length + 2), x, x + 5 * length, y, y + size)
        for number, (x, y, length, size) in enumerate(places)
    ]
    lines = ordered(strokes)
    assert sorted(stroke.text for line in lines for stroke in line.strokes) == sorted(stroke.text for stroke in strokes)
    assert all(len(line.text) == len(line.chars) for line in lines)
