"""Spans, lines and stretches, against the offsets themselves and against Python's UTF-16."""

import re
from itertools import pairwise

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from keyproof.grammar.spans import Lines, Span, Stretches

TEXTS = st.text("ab\r\n𝄞é", max_size=20)
SMALL = [Span(start, end) for start in range(3) for end in range(start + 1, 4)]
SPANS = st.tuples(st.integers(0, 12), st.integers(0, 12)).map(lambda ends: Span(min(ends), max(ends)))


@given(TEXTS)
def test_a_place_in_utf16_leads_back_to_its_offset(text: str) -> None:
    lines = Lines(text)
    for offset in range(len(text) + 1):
        line, column = lines.utf16(offset)
        start = lines.starts[line]
        assert column == len(text[start:offset].encode("utf-16-le")) // 2
        if offset <= lines.line_span(line + 1).end:
            assert lines.from_utf16(line, column) == offset


@pytest.mark.parametrize(
    ("line", "column", "offset"),
    [
        (0, 1, 1),  # between the two halves of a sign: behind it
        (0, 2, 1),
        (0, 3, 2),
        (0, 99, 2),  # beyond the line: its end
        (1, 0, 3),
        (2, 0, 4),  # beyond the text: its end
    ],
)
def test_a_place_that_is_none_is_the_next_that_is_one(line: int, column: int, offset: int) -> None:
    assert Lines("𝄞a\nb").from_utf16(line, column) == offset


@given(TEXTS, st.integers(1, 9))
def test_lines_are_counted_from_the_first(text: str, first: int) -> None:
    lines = Lines(text, first)
    parts = re.split(r"\r\n|\r|\n", text)
    assert [span.of(text) for span in lines.spans] == parts
    assert [lines.line_span(first + number).of(text) for number in range(len(parts))] == parts
    for offset in range(len(text) + 1):
        line, column = lines.place(offset)
        before = re.split(r"\r\n|\r(?!\n)|\n", text[:offset]) if text[offset - 1 : offset + 1] != "\r\n" else None
        if before is not None:
            assert (line, column) == (first + len(before) - 1, len(before[-1]) + 1)


@given(st.lists(SPANS, max_size=6))
def test_stretches_hold_what_one_of_their_spans_holds(spans: list[Span]) -> None:
    stretches = Stretches(spans)
    assert [stretches.hold(place) for place in range(14)] == [
        any(span.start <= place < span.end for span in spans) for place in range(14)
    ]


@given(SPANS, st.lists(SPANS, max_size=5))
@example(Span(0, 2), [Span(1, 1)])
def test_what_is_left_of_a_span(span: Span, cuts: list[Span]) -> None:
    within = sorted(Span(max(cut.start, span.start), min(cut.end, span.end)) for cut in cuts if span.overlaps(cut))
    left = span.without(within)
    gone = {place for cut in within for place in range(*cut)}
    assert [place for part in left for place in range(*part)] == [p for p in range(*span) if p not in gone]
    assert all(part.start < part.end for part in left)
    assert all(first.end < second.start for first, second in pairwise(left))


@pytest.mark.parametrize("first", SMALL)
@pytest.mark.parametrize("second", SMALL)
def test_two_spans(first: Span, second: Span) -> None:
    assert first.overlaps(second) == bool(set(range(*first)) & set(range(*second)))
    assert first.to(second) == (min(*first, *second), max(*first, *second))
    assert first.further_on(second.start) == (first.start + second.start, first.end + second.start)
