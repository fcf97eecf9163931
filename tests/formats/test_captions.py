"""Captions: WebVTT (W3C) and SubRip (no formal standard, consistent descriptions)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from keyproof.linter.sources import document_from_text

from .texts import FEN, check, found

WEBVTT = f"""WEBVTT - an evening at the Lindenhof

STYLE
::cue {{ color: lime }}

NOTE
FEN: {FEN}
Mate in two. (3+2)

opening
00:00:01.000 --> 00:00:04.000 align:start position:10%
<v Lind>The key is 1.Kg2!</v>

00:04.000 --> 00:08.000
If the king moves to h4 then <i>the rook</i>

00:00:08.000 --> 00:00:12.500
goes to e4, <c.loud>mate</c>. If 1...h4

100:00:12.500 --> 100:00:14.000
then 2.Rg5 is mate.
"""
SUBRIP = """1
00:00:01,000 --> 00:00:04,000
White: Kf2, Re5, Ne6. Black: Kg4, Ph5.
<font color="#00ff00">Mate in two.</font>

2
00:00:04,000 --> 00:00:08,000 X1:10 X2:90 Y1:10 Y2:20
Key: 1.Kg2! If 1...Kh4 then

3
00:00:08,000 --> 00:00:10,000
{\\an8}2.Re4#. If 1...h4 then 2.Rg5#.
"""


@pytest.mark.parametrize(("text", "name"), [(WEBVTT, "a.vtt"), (SUBRIP, "a.srt")])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_what_is_spoken_is_read_across_cues(text: str, name: str, end: str) -> None:
    result = check(text.replace("\n", end), name)
    assert found(result) == []
    (puzzle,) = result.puzzles
    assert (puzzle.verdict, puzzle.checked, puzzle.move_mentions) == ("sound", 5, 5)


@pytest.mark.parametrize(("text", "name"), [(WEBVTT, "a.vtt"), (SUBRIP, "a.srt")])
def test_a_false_mate_is_found_in_its_cue(text: str, name: str) -> None:
    wrong = text.replace("2.Rg5", "2.Re4")
    (finding,) = [each.finding for each in check(wrong, name).findings]
    assert finding.rule == "check-not-mate"
    assert finding.span.start > wrong.index("h4 " if name == "a.srt" else "then 2.Re4")


def test_numbers_and_times_of_cues_are_no_moves() -> None:
    masked = document_from_text("a.srt", SUBRIP, "captions").masked
    assert "-->" not in masked
    assert "font" not in masked
    assert masked.split()[0] == "White:"


@given(st.text(st.sampled_from("WEBVTNOTE STYL:-->.,0123456789<>{}\\&;\n\rab"), max_size=200))
def test_any_text_is_read_without_exception(text: str) -> None:
    document = document_from_text("a.vtt", text, "captions")
    assert len(document.masked) == len(text)
    for before, after in zip(text, document.masked, strict=True):
        assert after in (before, " ")
    ends = 0
    for block in document.blocks:
        assert ends <= block.span.start < block.span.end <= len(text)
        ends = block.span.end
