"""No text stops the scan, no span leaves the text, and no printed move goes unseen."""

import itertools
import re

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st
from keyproof.grammar import tables
from keyproof.grammar.descriptive import read_descriptive
from keyproof.grammar.moves import NotAMove, read_move
from keyproof.grammar.scan import statements
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Aside, Break, NotUnderstood, Statement, Turn
from strategies import moves
from writing import printed

_WORDS = """
Qb6 Sf4! Kd5 exd ed5 d5 e8=S e8=q e8= e8/ (N) 0-0 O-O-O Rd1xd5 ♘ Кр P Qz9 N9f Kt-B3 P-K4 1.Zd5 e.p. ½
QxP Kt(K4) takes B queens ch.
1. 1... 2 ... 99. ~ any else # ++ + † !? , ; . ? ( ) [ / - – … * : = ' #2 (8+11) h#2.5
the a white black's bishop rook takes captures castles key: try but if threat zugzwang mate stalemate not forced
"""
_SIGNS = ("\n", "\r\n", "\r", "\t", " ", "\ufe0e", "\u0301", "\U0001f600", "\x00")
FRAGMENTS = (
    *_WORDS.split(),
    *_SIGNS,
    *("1. ...", "any other", "anything else", "rook on a1", "captures on", "moves to", "promoting to", "set play"),
    *("is mate", "double check", "is impossible", "mate in two", "only move", "cannot castle", "mates by", " or "),
)
BLANKS = " \t\n\r\f\v\xa0"
OTHER_BLANKS = [chr(code) for code in range(0x10000) if chr(code).isspace() and chr(code) not in BLANKS]
TEXTS = st.text(st.characters(exclude_characters=OTHER_BLANKS, exclude_categories=["Cs"])) | st.builds(
    str.join, st.sampled_from(("", " ")), st.lists(st.sampled_from(FRAGMENTS), max_size=12)
)
"""Any text (the blanks of OTHER_BLANKS have a test of their own), and words of the trade in any order."""


def scan(text: str) -> list[Statement]:
    return statements(text, [Span(0, len(text))])[0]


@given(TEXTS)
def test_any_text_is_read(text: str) -> None:
    found = scan(text)
    assert found[-1].span == (len(text), len(text))  # the end of the block


@given(TEXTS)
def test_spans_lie_in_the_text(text: str) -> None:
    for statement in scan(text):
        assert 0 <= statement.span.start <= statement.span.end <= len(text)
        if isinstance(statement, (Aside, NotUnderstood)):
            assert statement.span.of(text) == statement.text


@given(TEXTS)
def test_statements_stand_in_order_and_apart(text: str) -> None:
    for left, right in itertools.pairwise(scan(text)):
        assert left.span.end <= right.span.start, (left, right)


def test_what_is_not_understood_is_not_an_aside_too() -> None:
    unread, end = scan("1...Zd5")
    assert unread.span.end == end.span.start


@pytest.mark.parametrize("text", ["0.0", "rated 3.5 by the jury", "see 2.1 above", "version 1.2.3"])
def test_a_decimal_number_promises_no_move(text: str) -> None:
    assert {type(statement) for statement in scan(text)} == {Aside, Break}


@given(TEXTS)
def test_every_part_of_a_turn_lies_in_it(text: str) -> None:
    for turn in scan(text):
        if not isinstance(turn, Turn):
            continue
        parts = [choice.span for choice in turn.choices] + [span for _, span in turn.effects]
        if turn.number is not None:
            parts.append(turn.number.span)
        assert parts
        for part in parts:
            assert turn.span.start <= part.start < part.end <= turn.span.end, (turn, part)
        for choice in turn.choices:
            inner = [choice.origin_span, choice.capture_span, choice.promotion_span]
            inner += [span for _, span in choice.effects]
            for part in (span for span in inner if span is not None):
                assert choice.span.start <= part.start < part.end <= choice.span.end, (choice, part)


@given(TEXTS)
def test_only_blanks_and_stray_words_are_passed_over(text: str) -> None:
    """Every printed character is part of some statement; what is skipped are blanks."""
    covered = [False] * len(text)
    for statement in scan(text):
        for place in range(*statement.span):
            covered[place] = True
    assert not "".join(sign for sign, seen in zip(text, covered, strict=True) if not seen).strip()


@given(TEXTS)
def test_a_block_elsewhere_in_the_file_reads_the_same(text: str) -> None:
    before = "Some lines\nbefore it. "
    whole = before + text + " and after."
    moved, _ = statements(whole, [Span(len(before), len(before) + len(text))])
    assert [(type(s), s.span.of(whole)) for s in moved] == [(type(s), s.span.of(text)) for s in scan(text)]


@given(st.text() | st.sampled_from(FRAGMENTS))
def test_a_text_is_a_move_or_says_that_it_is_none(text: str) -> None:
    try:
        phrase = read_move(text)
    except NotAMove:
        return
    assert phrase.text == text
    assert phrase.span == (0, len(text))


@pytest.mark.parametrize("name", ["MOVE", "SET_OF_MOVES"])
@given(data=st.data())
def test_the_two_grammars_agree_on_what_a_move_is(name: str, data: st.DataObject) -> None:
    """The scan takes as a move whatever fits the token's pattern, so moves.lark must read all of it."""
    (pattern,) = [each.pattern for each in tables.grammar("statements.lark").terminals if each.name == name]
    text = data.draw(st.from_regex(re.compile(pattern, re.ASCII), fullmatch=True))
    assert read_move(text).text == text


@given(data=st.data())
def test_the_two_grammars_agree_on_what_a_descriptive_move_is(data: st.DataObject) -> None:
    (pattern,) = [each.pattern for each in tables.grammar("statements.lark").terminals if each.name == "DESCRIPTIVE"]
    text = data.draw(st.from_regex(re.compile(pattern, re.ASCII), fullmatch=True))
    assert read_descriptive(text).text == text


_NOISE = """
|Lindenhof|A quiet move|the white king|once more,|(|)|; |key:|and then|the threat|but|because the knight|zugzwang.
|5 men|[diagram]|mate!|d5|Why?|* * *|– or –|1...|2.
"""
NOISE = st.sampled_from(_NOISE.split("|"))


@given(moves(), st.data())
def test_a_printed_move_in_any_noise_is_seen(position: tuple[chess.Board, chess.Move], data: st.DataObject) -> None:
    text = data.draw(printed(*position))
    before, after = (" ".join(data.draw(st.lists(NOISE, max_size=4))) for _ in "ab")
    line = f"{before} {text} {after}"
    place = Span(len(before) + 1, len(before) + 1 + len(text))
    seen = [
        statement
        for statement in scan(line)
        if isinstance(statement, (Turn, NotUnderstood))
        and statement.span.start <= place.start
        and place.end <= statement.span.end
    ]
    if text.rstrip("?") in chess.SQUARE_NAMES:  # "d5" alone may be the name of a square, "d5?" ask after it
        return
    assert seen, line


@pytest.mark.parametrize("text", ["1...Zd5", "2.Qz6", "1.Kt-B9", "1.P-K0"])
def test_what_looks_like_a_move_and_is_none_is_named(text: str) -> None:
    assert [s.text for s in scan(text) if isinstance(s, NotUnderstood)] == [text]


@pytest.mark.parametrize("blank", OTHER_BLANKS, ids=ascii)
def test_every_blank_of_unicode_is_a_blank(blank: str) -> None:
    (turn, _) = scan(f"1.{blank}Qb6")
    assert isinstance(turn, Turn)
