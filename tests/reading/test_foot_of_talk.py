"""Captions whose positions stand in a note at the foot, told before or not at all, and others as before.

Positions: an invented column of the corpus. The layouts: common practice, no source.
"""

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text

FIRST, SECOND = "8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1", "7k/7p/5K2/6P1/8/8/8/R7 w - - 0 1"
PLAY = (
    "mate in two, white to move. king g2 first.",
    "if king h4, rook e4 mate. if the pawn goes h4, rook g5 mate.",
)
FOOTS = {
    "a note": "NOTE\n1) {first}\n",
    "a saved chat": "NOTE\nchat, saved in the evening\nilse> 1) {first}\nnoor> back soon\n",
    "a note of words": "NOTE\nThe position we began with was {first}, thanks for coming\n",
    "a cue": "00:02:00.000 --> 00:02:09.000\n{first}\n",
    "two notes": "NOTE\nrecorded at home\n\nNOTE\nFEN: {first}\n",
}


def captions(*cues: str, foot: str = "") -> str:
    timed = [f"00:00:{10 + 9 * n}.000 --> 00:00:{18 + 9 * n}.000\n{words}\n" for n, words in enumerate(cues)]
    return "\n".join(["WEBVTT\n", *timed, foot])


@pytest.mark.parametrize("foot", FOOTS.values(), ids=FOOTS)
def test_a_position_at_the_foot_is_that_of_the_talk(foot: str) -> None:
    text = captions("good evening", *PLAY, foot=foot.format(first=FIRST))
    result = check_text("talk.vtt", text, Options())
    assert [(p.fen, p.stipulation, p.verdict, p.checked) for p in result.puzzles] == [(FIRST, "#2", "sound", 5)]
    assert result.findings == ()


def test_the_other_position_has_been_told() -> None:
    told = "here white has king f6, rook a1, pawn g5, and black has king h8 and pawn h7."
    foot = f"NOTE\n1) {FIRST}\n2) {SECOND}\n"
    text = captions(*PLAY, told, "mate in two. white starts with king f7.", foot=foot)
    result = check_text("talk.vtt", text, Options())
    assert [str(p.fen).split()[0] for p in result.puzzles] == [FIRST.split()[0], SECOND.split()[0]]
    assert result.puzzles[0].checked == 5
    assert "repeated-position" not in [placed.finding.rule for placed in result.findings]


def test_a_position_shown_before_its_play_keeps_it() -> None:
    text = captions(f"[{FIRST}]", *PLAY)
    assert [(p.fen, p.checked) for p in check_text("talk.vtt", text, Options()).puzzles] == [(FIRST, 5)]
