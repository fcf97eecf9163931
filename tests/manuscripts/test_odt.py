"""What is read of an .odt. The elements are those of OpenDocument 1.3 part 3, from memory."""

import pytest
from keyproof.linter.manuscripts.model import Manuscript
from keyproof.linter.manuscripts.reading import read

from .samples import odt


def manuscript(body: str, styles: str = "") -> Manuscript:
    return read("a.odt", odt(body, styles), "odt")


@pytest.mark.parametrize(
    ("inside", "read_as"),
    [
        ("1.<text:span>Q</text:span>b6", "1.Qb6"),
        ("1.Qb6<text:s text:c='3'/>Kc4", "1.Qb6   Kc4"),
        ("1.Qb6<text:tab/>Kc4", "1.Qb6\tKc4"),
        ("1.Qb6<text:line-break/>\n  Kc4", "1.Qb6\nKc4"),
        ("\n  1.Qb6\n   Kc4 \n", "1.Qb6 Kc4 "),
        ("1.Q\u00adb6", "1.Q\u00adb6"),
        ("a<text:change text:change-id='c'/>b<text:change-start/>c<text:change-end/>", "abc"),
        ("1.Qb6<text:soft-page-break/>!", "1.Qb6!"),
        ("<text:a>1.Qb6</text:a>", "1.Qb6"),
        ("<text:ruby><text:ruby-base>1.Qb6</text:ruby-base><text:ruby-text>x</text:ruby-text></text:ruby>", "1.Qb6"),
    ],
)
def test_the_text_is_what_one_sees(inside: str, read_as: str) -> None:
    assert manuscript(f"<text:p>{inside}</text:p>").text == read_as + "\n\n"


def test_what_was_struck_is_not_read() -> None:
    changes = (
        "<text:tracked-changes><text:changed-region><text:deletion><text:p>1.Qa1</text:p></text:deletion>"
        "</text:changed-region></text:tracked-changes>"
    )
    assert manuscript(changes + "<text:p>1.Qb6</text:p>").text == "1.Qb6\n\n"


def test_places() -> None:
    cells = [f"<table:table-cell><text:p>{words}</text:p></table:table-cell>" for words in ("1...Ka4", "2.Qb4#")]
    row = f"<table:table-row>{''.join(cells)}</table:table-row>"
    note = (
        "<text:note text:note-class='footnote'><text:note-citation>1</text:note-citation>"
        "<text:note-body><text:p>Or 2.Qb3#.</text:p></text:note-body></text:note>"
    )
    box = "<draw:frame><draw:text-box><text:p>In a box</text:p></draw:text-box></draw:frame>"
    found = manuscript(
        f"<text:h text:outline-level='2'>No. 1</text:h><text:p>1.Qb6!{note}{box}</text:p>"
        f"<table:table><table:table-header-rows>{row}</table:table-header-rows>{row}</table:table>"
    )
    assert [(block.kind, block.span.of(found.text), found.place(block.span.start)) for block in found.blocks] == [
        ("heading", "No. 1", "paragraph 1"),
        ("paragraph", "1.Qb6!", "paragraph 2"),
        ("paragraph", "Or 2.Qb3#.", "footnote 1"),
        ("paragraph", "In a box", "text box 1"),
        ("cell", "1...Ka4    2.Qb4#", "table 1, row 1, column 1"),
        ("cell", "1...Ka4    2.Qb4#", "table 1, row 2, column 1"),
    ]


def test_numbered_lists() -> None:
    level = "<text:list-level-style-number text:level='1' style:num-format='1'/>"
    style = f"<text:list-style style:name='L'>{level}</text:list-style>"
    item = "<text:list-item><text:p>{}</text:p></text:list-item>"
    body = f"<text:list text:style-name='L'>{item.format('Qb6 Ka4')}{item.format('Qb4#')}</text:list>"
    found = manuscript(body, style)
    assert [block.span.of(found.text) for block in found.blocks] == ["1. Qb6 Ka4\n\n2. Qb4#"]
