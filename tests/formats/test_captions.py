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


ROLLING = f"""WEBVTT

NOTE FEN: {FEN}

00:00:01.000 --> 00:00:03.000
mate in two the key is

00:00:03.000 --> 00:00:05.000
mate in two the key is
1.Kg2 <c>now</c>

00:00:05.000 --> 00:00:05.010
1.Kg2 now

00:00:05.010 --> 00:00:08.000
1.Kg2 now
if 1...Kh4 then 2.Re4 is mate
"""


def test_what_rolls_up_is_said_once() -> None:
    masked = document_from_text("a.vtt", ROLLING, "captions").masked
    assert " ".join(masked.split()).endswith("mate in two the key is 1.Kg2 now if 1...Kh4 then 2.Re4 is mate")
    (puzzle,) = check(ROLLING, "a.vtt").puzzles
    assert (puzzle.keys, puzzle.move_mentions) == (("Kg2",), 3)


@pytest.mark.parametrize(
    ("text", "name", "words", "time"),
    [
        (WEBVTT, "a.vtt", "The key", "00:00:01.000"),
        (WEBVTT, "a.vtt", "If the king", "00:00:04.000"),  # WebVTT: the hours may be left out
        (WEBVTT, "a.vtt", "2.Rg5", "100:00:12.500"),  # WebVTT: two digits of hours or more
        (WEBVTT, "a.vtt", "Mate in two", None),  # a comment is not spoken
        (WEBVTT, "a.vtt", "WEBVTT", None),
        (SUBRIP, "a.srt", "2.Re4", "00:00:08.000"),  # SubRip: a comma before the thousandths
    ],
)
def test_a_place_has_the_time_of_its_cue(text: str, name: str, words: str, time: str | None) -> None:
    assert check(text, name).time(text.index(words)) == time


def test_a_text_that_is_not_spoken_has_no_times() -> None:
    assert check(WEBVTT, "a.txt").time(WEBVTT.index("2.Rg5")) is None


# Without full stops the sentence goes on in the next cue, and its answer is not tried elsewhere.
UNPUNCTUATED = f"""WEBVTT

NOTE FEN: {FEN}

00:00:01.000 --> 00:00:03.000
mate in two the key is king to g2
if the king goes to h4

00:00:03.000 --> 00:00:05.000
then the rook goes

00:00:05.000 --> 00:00:08.000
to e4 mate
if the pawn goes to h4

00:01:02.500 --> 00:01:08.000
then rook to g5 is mate
"""


def test_an_answer_in_the_next_cue_belongs_to_its_defence() -> None:
    assert found(check(UNPUNCTUATED, "a.vtt")) == []
    wrong = UNPUNCTUATED.replace("rook to g5", "rook to e4")
    result = check(wrong, "a.vtt")
    (finding,) = [each.finding for each in result.findings]
    assert (finding.rule, result.time(finding.span.start)) == ("check-not-mate", "00:01:02.500")


@pytest.mark.parametrize("wrap", [" ", "\n"])
def test_a_wrapped_line_hides_no_false_answer(wrap: str) -> None:
    text = (
        f"FEN: {FEN}\n\nMate in two. The key is king to g2. If the king goes to h4 then rook to e4 is mate. "
        f"If the pawn goes to h4{wrap}then rook to e4 is mate.\n"
    )
    assert [rule for rule, _ in found(check(text, "a.md"))] == ["check-not-mate"]


def test_a_cue_that_ends_between_a_pawn_and_its_file() -> None:
    wrong = UNPUNCTUATED.replace("if the pawn goes", "if the h\n\n00:00:09.000 --> 00:00:11.000\npawn goes")
    assert found(check(wrong, "a.vtt")) == []


def test_a_move_that_is_lost_does_not_lose_the_rest_of_the_talk() -> None:
    lost = UNPUNCTUATED.replace("the rook goes\n", "the rook goes\n").replace("to e4 mate", "to a8 mate")
    result = check(lost, "a.vtt")
    (puzzle,) = result.puzzles
    assert (puzzle.checked, puzzle.move_mentions) == (5, 5)
    assert [each.finding.rule for each in result.findings] == ["illegal-move"]


SEVERAL = """WEBVTT

00:00:01.000 --> 00:00:03.000
welcome to the lindenhof tonight all are mates in two

00:00:03.000 --> 00:00:05.000
problem one

00:00:05.000 --> 00:00:08.000
White: Kf2, Re5, Ne6
Black: Kg4, Ph5

00:00:08.000 --> 00:00:10.000
white to move and mate in two
the key is king to g2

NOTE The corner
1R6/b7/k1K5/2p2Qp1/1p4R1/5P2/P7/8 w - - 0 1

00:00:10.000 --> 00:00:12.000
okay next position and again it is mate in two
the key is rook to a8
"""


def test_a_puzzle_begins_where_its_position_is_shown() -> None:
    result = check(SEVERAL, "a.vtt")
    assert found(result) == []
    assert [(puzzle.title, puzzle.keys) for puzzle in result.puzzles] == [
        ("problem one", ("Kg2",)),
        ("The corner", ("Ra8",)),
    ]
    assert [result.time(puzzle.start) for puzzle in result.puzzles] == ["00:00:03.000", None]


def test_each_word_of_a_recording_belongs_to_one_puzzle_or_none() -> None:
    document = document_from_text("a.vtt", SEVERAL, "captions")
    assert document.puzzles is not None
    owned = [*document.loose, *(span for puzzle in document.puzzles for span in puzzle.prose)]
    owned += [diagram.span for puzzle in document.puzzles for diagram in puzzle.diagrams]
    places = [place for span in owned for place in range(*span)]
    assert len(places) == len(set(places))
    assert not "".join(sign for place, sign in enumerate(document.masked) if place not in set(places)).strip()
