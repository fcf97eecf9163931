"""Markdown: CommonMark 0.31 with pipe tables, compared with what markdown-it-py itself would show."""

import re

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from keyproof.linter.readers import markdown
from keyproof.linter.sources import document_from_text
from markdown_it import MarkdownIt
from reading_texts import START_RANKS, scraps


def document(text):
    return document_from_text("bulletin.md", text, "markdown")


def shown(text):
    """What is left of the text when markup is taken out, blanks squeezed."""
    return " ".join(document(text).masked.split())


def blocks(text):
    read = document(text)
    return [
        (block.kind + str(block.level or ""), " ".join(block.span.of(read.masked).split())) for block in read.blocks
    ]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Key: **1.Sf4!** and _2.Qb6_ *mate*", "Key: 1.Sf4! and 2.Qb6 mate"),
        ("***both***", "both"),
        ("2*3*4 and snake_case_word", "2 3 4 and snake_case_word"),
        ("R~ and 1...K any", "R~ and 1...K any"),
        (r"\* 1...Kd5 \#2", "* 1...Kd5 #2"),
        (r"a\b", r"a\b"),
        ("see [the mill](http://example.org/Kd5 'Qb6') now", "see the mill now"),
        ("[the **mill**][m]\n\n[m]: http://example.org", "the mill"),
        ("1.Sf4 [sic] is printed", "1.Sf4 [sic] is printed"),
        ("1.Sf4 [sic]", "1.Sf4"),
        ("![Kd5 on a board](Qb6.png) here", "here"),
        ("<https://example.org/Kd5> here", "here"),
        ("<b>1.Sf4!</b><!-- 1.Qa1 --> Kd5<br/>2.Qb6", "1.Sf4! Kd5 2.Qb6"),
        ("<!-- 1.Qa1\n\n1.Qa2 -->\n\n1.Qb1!", "1.Qb1!"),
        ("<div class='Kd5'>\n1.Sf4! Kd5\n</div>", "1.Sf4! Kd5"),
        ("<script>\nKd5\n</script>\n", ""),
        ("`8/8/8` and ``a`b``", "8/8/8 and a`b"),
        ("1.Sf4!&nbsp;Kd5 &amp; more", "1.Sf4! Kd5 &amp; more"),
        ("hard\\\nbreak  \nsoft\nbreak", "hard break soft break"),
        ("> 1.Sf4!\n> > Kd5", "1.Sf4! Kd5"),
        ("---\ntitle: Kd5\n---\n1.Sf4!", "1.Sf4!"),
        ("---\n1.Sf4!\n---", "1.Sf4!"),
        ("one\n\n***\n\ntwo", "one two"),
        ("```text\n*1.Sf4!* `Kd5`\n```", "*1.Sf4!* `Kd5`"),
        ("    *1.Sf4!*", "*1.Sf4!*"),
    ],
)
def test_markup_is_masked_and_words_are_not(text, expected):
    assert shown(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("# The *Mill* #", [("heading1", "The Mill")]),
        ("The Mill\n===", [("heading1", "The Mill")]),
        ("#2", [("paragraph", "#2")]),  # CommonMark 4.2: a heading needs a blank after the sign
        ("- a\n  b\n\n  c\n  - d\n* 1...Kd5", [("item", "a b"), ("item", "c"), ("item", "d"), ("item", "1...Kd5")]),
        (
            "| Defence | Mate |\n|:-:|---|\n| 1...Kd5 | **2.Qb6#** |\n| 1...Kc4 | 2.Qb3 |",
            [("cell", "Defence Mate"), ("cell", "1...Kd5 2.Qb6#"), ("cell", "1...Kc4 2.Qb3")],
        ),
        ("a | b\n--|--\n1...K\\|d5 | c | too many", [("cell", "a b"), ("cell", "1...K |d5 c too many")]),
        ("> 1.Sf4!\n> Kd5", [("paragraph", "1.Sf4! Kd5")]),
        ("```\n8 . k\n\n7 . .\n```", [("code", "8 . k 7 . .")]),
    ],
)
def test_blocks(text, expected):
    assert blocks(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("1. Sf4 Kd5 2. Qb6#", [("item", "1. Sf4 Kd5 2. Qb6#")]),
        ("1. Sf4 Kd5\n2. Qb6#", [("item", "1. Sf4 Kd5 2. Qb6#")]),
        ("Key:\n1. Sf4 Kd5\n2. Qb6#", [("paragraph", "Key: 1. Sf4 Kd5 2. Qb6#")]),
        ("Key:\n\n1. 0-0 Kd5", [("paragraph", "Key:"), ("item", "1. 0-0 Kd5")]),
        ("1. ♘f4 Kd5", [("item", "1. ♘f4 Kd5")]),
        ("1. Sf4? Kd5!\n1. Qb1!", [("item", "1. Sf4? Kd5!"), ("item", "1. Qb1!")]),  # two first moves
        ("1. The key\n2. 1.Sf4!\n3) Kd5", [("item", "The key"), ("item", "1.Sf4!"), ("item", "Kd5")]),
        ("- Sf4\n- Kd5", [("item", "Sf4"), ("item", "Kd5")]),
    ],
)
def test_a_number_before_a_move_is_a_move_number(text, expected):
    assert blocks(text) == expected


def test_a_board_outside_a_fence_is_neither_list_nor_rule():
    board = "\n".join(" ".join(rank.replace(".", "-")) for rank in START_RANKS)
    read = document(f"Position:\n\n{board}\n\n1.e4")
    assert [block.span.of(read.masked) for block in read.blocks] == ["Position:", board, "1.e4"]


def test_a_board_in_a_fence_belongs_to_the_fence():
    board = "\n".join(START_RANKS)
    read = document(f"```\n{board}\nmate in two\n```")
    assert [block.span.of(read.masked) for block in read.blocks] == [f"{board}\nmate in two"]


def test_offsets_hold_with_every_line_end_and_tab():
    for end in ("\n", "\r\n", "\r"):
        text = end.join(["- one", "\t* **two**", "", "\t  three", "", "> \tfour"])
        read = document(text)
        assert [block.span.of(read.text).strip("*") for block in read.blocks] == ["one", "two", "three", "four"]


# No digits, entities, tags or images: there the masking means to differ from what a browser shows.
WORDS = ("one", "two", "é", "🙂", "Kd", " ", "  ", "\t", ".")
SIGNS = ("*", "**", "_", "__", "`", "``", "\\", "[", "](x)", "]", "(", ")", "+", "~", "|")
STARTS = ("\n", "\n\n", "\n    ", "\n- ", "\n  ", "\n> ", "\n# ", "\n\n---\n", "\n```\n", "\n|--|--|\n")
MARKUP = st.lists(st.sampled_from(WORDS) | st.sampled_from(SIGNS) | st.sampled_from(STARTS), max_size=30).map("".join)


@given(MARKUP)
def test_the_words_shown_are_those_of_an_independent_rendering(text):
    # A browser drops the cells a row has beyond its header; the author's words in them are kept here.
    assume(all(line.count("|") < 2 or line == "|--|--|" for line in text.splitlines()))
    parser = MarkdownIt("commonmark").enable("table")
    words = []
    for token in parser.parse(text):
        if token.type in ("fence", "code_block"):
            words.append(token.content)
        words += [child.content for child in token.children or () if child.type != "softbreak"]
    rendered = "".join("".join(words).split())
    assert "".join(document(text).masked.split()) == rendered


@given(scraps() | st.text(alphabet="ab \\t\\n|-\\\\`*_[]()<>&;!~^"))
def test_text_without_a_sign_of_markup_need_not_be_parsed_for_any(text):
    read = markdown.read(text)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(markdown, "_MARKUP", re.compile(""))
        assert markdown.read(text) == read


@pytest.mark.parametrize("row", [r"|1.Sf4\|Kd5|", r"|1.Sf4 \| Kd5|", r"|**1.Sf4\|Kd5**|", r"|`1.Sf4\|Kd5`|"])
def test_the_backslash_of_a_bar_in_a_cell_is_markup(row):
    assert shown(f"|a|\n|-|\n{row}").split() in (["a", "1.Sf4", "|Kd5"], ["a", "1.Sf4", "|", "Kd5"])
