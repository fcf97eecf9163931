"""Plain text: what is a heading, what is a block. Layout of columns: common practice, no source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from keyproof.linter.sources import document_from_text

FEN = "8/8/8/8/8/8/8/K6k w - - 0 1"


def blocks(text):
    document = document_from_text("bulletin.txt", text, "text")
    return [(block.kind[0] + str(block.level or ""), block.span.of(document.masked)) for block in document.blocks]


def test_blocks_are_parted_by_blank_lines():
    assert blocks("one\ntwo\n\n \t\n three \n") == [("p", "one\ntwo"), ("p", "three")]


@pytest.mark.parametrize(
    ("text", "heading"),
    [
        ("# The Mill\nText", ("h1", "The Mill")),
        ("###   The Mill\n", ("h3", "The Mill")),
        ("The Mill\n========\nText", ("h1", "The Mill")),
        ("The Mill\n---\n", ("h2", "The Mill")),
        (f"No. 3\n{FEN}", ("h3", "No. 3")),
        (f"Problem 3 (from a reader)\n\nA. Composer, 1926\nMate in two\n\n{FEN}", ("h3", "Problem 3 (from a reader)")),
        (f"Aufgabe Nr. 3\n{FEN}", ("h3", "Aufgabe Nr. 3")),
        (f"1. The Mill\n{FEN}", ("h3", "1. The Mill")),
        ("1. The Mill\nWhite: Kg1, Qd1\nBlack: Kg8", ("h3", "1. The Mill")),
        ("Solutions\nNo. 1: 1.Qb1!", ("h1", "Solutions")),
        ("Solutions:\n\nNo. 1: 1.Qb1!", ("h1", "Solutions:")),
    ],
)
def test_headings(text, heading):
    assert blocks(text)[0] == heading


@pytest.mark.parametrize(
    "text",
    [
        "#2",  # a stipulation
        "# 2",
        "#2 by A. Composer",
        "Mate in two.\n---",
        "One line\nand another\n-----",
        "1.Qb1! Kh2\n----------",
        "No. 3 was too easy.",
        "No. 3",  # no position below
        f"No. 3 was too easy.\n{FEN}",
        f"1. Qb1! Kh2\n{FEN}",
        f"1. We met on Wednesday.\n{FEN}",
        f"No. 3\n1.Qb1! Kh2\n\n{FEN}",
        "Solutions are welcome",
    ],
)
def test_no_headings(text):
    assert all(kind == "p" for kind, _ in blocks(text))


def test_dividers_are_masked():
    assert blocks("one\n* * *\ntwo\n\n-----\n") == [("p", "one"), ("p", "two")]


def test_a_board_drawn_with_dashes_is_not_taken_for_dividers():
    board = "\n".join(["k-------", "--------", "--------", "--------", "--------", "--------", "-------Q", "K-------"])
    assert blocks(board) == [("p", board)]


@given(st.lists(st.sampled_from(["Kg1", "wins", "1.Qb1!", "a1", "\n", "\n\n", " ", "(x)", "2...", "é"])).map(" ".join))
def test_text_without_signs_is_shown_whole(text):
    assert document_from_text("bulletin.txt", text, "text").masked == text
