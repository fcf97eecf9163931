"""What is read of a .docx. The elements are those of ECMA-376 part 1, chapter 17, from memory."""

import struct
import zlib

import pytest
from keyproof.linter.manuscripts.model import Manuscript
from keyproof.linter.manuscripts.reading import read

from .samples import RELATIONS, W, docx, paragraph


def text(body: str, **parts: bytes) -> str:
    return manuscript(body, **parts).text


def manuscript(body: str, **parts: bytes) -> Manuscript:
    return read("a.docx", docx(body, **parts), "docx")


def places(found: Manuscript) -> list[tuple[str, str | None]]:
    """Return each block with its place."""
    return [(block.span.of(found.text), found.place(block.span.start)) for block in found.blocks]


def test_a_move_in_several_runs_is_one_word() -> None:
    assert text(paragraph("1.", "Q", "b6", "#")) == "1.Qb6#\n\n"


@pytest.mark.parametrize(
    ("inside", "read_as"),
    [
        ("<w:ins><w:r><w:t>1.Qb6</w:t></w:r></w:ins><w:del><w:r><w:delText>1.Qa1</w:delText></w:r></w:del>", "1.Qb6"),
        ("<w:moveTo><w:r><w:t>1.Qb6</w:t></w:r></w:moveTo><w:moveFrom><w:r><w:t>no</w:t></w:r></w:moveFrom>", "1.Qb6"),
        ("<w:r><w:t>1.Qb6</w:t><w:tab/><w:t>Kc4</w:t></w:r>", "1.Qb6\tKc4"),
        ("<w:r><w:t>1.Qb6</w:t><w:br/><w:t>Kc4</w:t></w:r>", "1.Qb6\nKc4"),
        ("<w:r><w:t>Sd3</w:t><w:noBreakHyphen/><w:t>f4</w:t></w:r>", "Sd3-f4"),
        ("<w:r><w:t>check</w:t><w:softHyphen/><w:t>mate</w:t></w:r>", "checkmate"),
        ('<w:r><w:sym w:font="Symbol" w:char="F02B"/></w:r>', "+"),
        ("<w:r><w:rPr><w:vanish/></w:rPr><w:t>hidden</w:t></w:r><w:r><w:t>1.Qb6</w:t></w:r>", "1.Qb6"),
        (
            '<w:r><w:fldChar w:fldCharType="begin"/></w:r><w:r><w:instrText>PAGE 9</w:instrText></w:r>'
            "<w:r><w:t>3</w:t></w:r>",
            "3",
        ),
        ('<w:fldSimple w:instr="SEQ No"><w:r><w:t>7</w:t></w:r></w:fldSimple>', "7"),
        ("<w:hyperlink><w:r><w:t>1.Qb6</w:t></w:r></w:hyperlink>", "1.Qb6"),
        ("<w:sdt><w:sdtContent><w:r><w:t>1.Qb6</w:t></w:r></w:sdtContent></w:sdt>", "1.Qb6"),
        ("<w:r><w:t>2.\u00a0Qb6\u2019s \u201cmate\u201d</w:t></w:r>", "2.\u00a0Qb6\u2019s \u201cmate\u201d"),
    ],
)
def test_the_text_is_that_with_all_changes_accepted(inside: str, read_as: str) -> None:
    assert text(f"<w:p>{inside}</w:p>").removesuffix("\n\n") == read_as


def test_a_paragraph_whose_end_is_struck_goes_on_in_the_next() -> None:
    struck = "<w:p><w:pPr><w:rPr><w:del/></w:rPr></w:pPr><w:r><w:t>1.Q</w:t></w:r></w:p>"
    assert text(struck + paragraph("b6")) == "1.Qb6\n\n"


def test_paragraphs_and_tables_are_counted_as_one_sees_them() -> None:
    cells = "".join(f"<w:tc>{paragraph(words)}</w:tc>" for words in ("1...Ka4", "2.Qb4#"))
    found = manuscript(
        paragraph("First")
        + paragraph("")
        + f"<w:tbl><w:tr>{cells}</w:tr><w:tr>{cells}</w:tr></w:tbl>"
        + paragraph("Last")
    )
    assert places(found) == [
        ("First", "paragraph 1"),
        ("1...Ka4    2.Qb4#", "table 1, row 1, column 1"),
        ("1...Ka4    2.Qb4#", "table 1, row 2, column 1"),
        ("Last", "paragraph 2"),
    ]
    assert found.place(found.text.index("2.Qb4#")) == "table 1, row 1, column 2"


def test_cells_with_several_paragraphs_are_read_one_after_the_other() -> None:
    left = f"<w:tc>{paragraph('White: Kg1, Qd1')}{paragraph('Black: Kg8')}</w:tc>"
    found = manuscript(f"<w:tbl><w:tr>{left}<w:tc>{paragraph('Mate in two.')}</w:tc></w:tr></w:tbl>")
    assert [words for words, _ in places(found)] == ["White: Kg1, Qd1\nBlack: Kg8", "Mate in two."]


def test_a_footnote_stands_behind_the_paragraph_that_calls_it() -> None:
    notes = f'<w:footnotes xmlns:w="{W}"><w:footnote w:id="4">{paragraph("Or 2.Qb3#.")}</w:footnote></w:footnotes>'
    links = RELATIONS.replace(b"</Rel", b'<Relationship Id="r" Type="x/footnotes" Target="footnotes.xml"/></Rel')
    body = '<w:p><w:r><w:t>2.Qb4#</w:t><w:footnoteReference w:id="4"/><w:t>!</w:t></w:r></w:p>' + paragraph("Next")
    found = manuscript(body, word__footnotes_xml=notes.encode(), **{"word/_rels/document.xml.rels": links})
    assert places(found) == [("2.Qb4#!", "paragraph 1"), ("Or 2.Qb3#.", "footnote 1"), ("Next", "paragraph 2")]


def test_a_text_box_that_is_given_in_two_forms_is_read_once() -> None:
    box = f"<w:txbxContent>{paragraph('1.Qb6!')}</w:txbxContent>"
    forms = (
        '<mc:AlternateContent xmlns:mc="m"><mc:Choice><w:drawing>' + box + "</w:drawing></mc:Choice>"
        "<mc:Fallback><w:pict>" + box + "</w:pict></mc:Fallback></mc:AlternateContent>"
    )
    found = manuscript(f"<w:p><w:r><w:t>See</w:t>{forms}</w:r></w:p>")
    assert places(found) == [("See", "paragraph 1"), ("1.Qb6!", "text box 1")]


def test_headings_are_known_by_their_style() -> None:
    styles = (
        f'<w:styles xmlns:w="{W}"><w:style w:styleId="A"><w:name w:val="heading 2"/></w:style>'
        '<w:style w:styleId="B"><w:name w:val="Mine"/><w:basedOn w:val="A"/></w:style>'
        '<w:style w:styleId="C"><w:basedOn w:val="C"/></w:style></w:styles>'
    )
    links = RELATIONS.replace(b"</Rel", b'<Relationship Id="r" Type="x/styles" Target="styles.xml"/></Rel')
    body = "".join(f'<w:p><w:pPr><w:pStyle w:val="{key}"/></w:pPr><w:r><w:t>{key}</w:t></w:r></w:p>' for key in "ABC")
    found = manuscript(body, word__styles_xml=styles.encode(), **{"word/_rels/document.xml.rels": links})
    assert [(block.kind, block.level) for block in found.blocks] == [("heading", 2), ("heading", 2), ("paragraph", 0)]


def test_the_numbers_of_a_list_are_move_numbers_where_moves_follow() -> None:
    numbering = (
        f'<w:numbering xmlns:w="{W}"><w:abstractNum w:abstractNumId="0"><w:lvl w:ilvl="0"><w:start w:val="1"/>'
        '<w:numFmt w:val="decimal"/></w:lvl></w:abstractNum><w:num w:numId="5"><w:abstractNumId w:val="0"/></w:num>'
        "</w:numbering>"
    )
    links = RELATIONS.replace(b"</Rel", b'<Relationship Id="r" Type="x/numbering" Target="numbering.xml"/></Rel')
    item = (
        '<w:p><w:pPr><w:numPr><w:ilvl w:val="0"/><w:numId w:val="5"/></w:numPr></w:pPr><w:r><w:t>{}</w:t></w:r></w:p>'
    )
    body = item.format("Qb6 Ka4") + item.format("Qb4#") + item.format("a word on the king")
    found = manuscript(body, word__numbering_xml=numbering.encode(), **{"word/_rels/document.xml.rels": links})
    assert [block.span.of(found.text) for block in found.blocks] == ["1. Qb6 Ka4\n\n2. Qb4#", "a word on the king"]


def test_a_board_typed_in_eight_paragraphs_is_one_position() -> None:
    rows = ["8 . . . . . . . .", "7 . . . . . . . .", "6 . . . . N . . .", "5 . . . . R . . p"]
    rows += ["4 . . . . . . k .", "3 . . . . . . . .", "2 . . . . . K . .", "1 . . . . . . . .", "  a b c d e f g h"]
    found = manuscript("".join(paragraph(row) for row in rows))
    from keyproof.grammar.positions import find_diagrams

    (diagram,) = find_diagrams(found)
    assert len(diagram.pieces) == 5
    assert not diagram.faults


def picture(keyword: bytes, said: bytes) -> bytes:
    """Return the start of a PNG with a text chunk (PNG specification, 11.3.3.2)."""
    body = b"tEXt" + keyword + b"\0" + said
    return b"\x89PNG\r\n\x1a\n" + struct.pack(">I", len(body) - 4) + body + struct.pack(">I", zlib.crc32(body))


def drawn(png: bytes) -> Manuscript:
    links = RELATIONS.replace(b"</Rel", b'<Relationship Id="r7" Type="x/image" Target="media/i.png"/></Rel')
    drawing = (
        '<w:p><w:r><w:drawing><d:docPr xmlns:d="u" descr="White: king f2"/>'
        '<a:blip xmlns:a="v" xmlns:r="x" r:embed="r7"/></w:drawing></w:r></w:p>'
    )
    return manuscript(paragraph("No. 7") + drawing, **{"word/_rels/document.xml.rels": links, "word/media/i.png": png})


def test_a_picture_that_names_its_position_is_read() -> None:
    found = drawn(picture(b"FEN", b"8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1"))
    assert places(found)[1] == ("8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1", "figure 1")
    assert found.passed_over == ()


@pytest.mark.parametrize(
    "png",
    [picture(b"Title", b"8/8/8/8/8/8/8/8"), picture(b"FEN", b"nothing"), picture(b"FEN", b"\xff" * 30), b"GIF89a", b""],
)
def test_any_other_picture_is_named_as_not_read(png: bytes) -> None:
    ((span, words),) = drawn(png).passed_over
    assert words.startswith('figure 1 ("White: king f2") is a picture')
    assert span.start == len("No. 7")
