"""The three notations side by side."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from keyproof.grammar import traces
from keyproof.grammar.positions import find_diagrams
from keyproof.grammar.spans import Lines
from keyproof.grammar.traces import NUMBERED_MOVE, PRINTED_MOVE
from reading_texts import START, START_RANKS, scraps, unmarked


def test_all_notations_in_the_order_of_the_text():
    text = "\n".join(["White: Kg1, Qd1; Black: Kg8", "", *START_RANKS, "", f"FEN: {START} w KQkq - 0 1"])
    found = find_diagrams(unmarked(text))
    assert [diagram.kind for diagram in found] == ["list", "board", "fen"]
    assert [diagram.span.of(text)[:9] for diagram in found] == ["White: Kg", "rnbqkbnr\n", "rnbqkbnr/"]


@given(scraps() | st.text(alphabet="KQRBNSPkqrbnp12345678/|+-. \nabcdefgh:,;wW"))
def test_no_text_is_too_strange(text):
    found = find_diagrams(unmarked(text))
    ends = [0, *(diagram.span.end for diagram in found)]
    for diagram, end in zip(found, ends, strict=False):
        assert end <= diagram.span.start < diagram.span.end <= len(text)
        assert all(diagram.span.start <= fault.span.start < fault.span.end <= len(text) for fault in diagram.faults)
        assert diagram.faults or len(diagram.pieces) >= 1 or diagram.kind == "fen"
        assert diagram.piece_spans.keys() == diagram.pieces.keys()


# Forms of moves: FIDE Laws, C.8 to C.11 and C.13; S, 0-0 with letters and the wave: from memory.
PIECE_MOVES = ["Sf4", "Nbd2", "N5b3", "Bb2e5", "R:d5", "0-0", "O-O-O", "R~", "Крd5", "♘f4", "Kt f3"]
PAWN_MOVES = ["e4", "e7-e5", "dxe5", "ed4", "exd6", "d8Q", "e8=S", "axb8=Q"]


@pytest.mark.parametrize("move", [*PIECE_MOVES, *PAWN_MOVES])
def test_what_looks_like_a_move(move):
    assert PRINTED_MOVE.match(move)
    assert NUMBERED_MOVE.search(f"Key: 1.{move}!")
    assert NUMBERED_MOVE.search(f"1... {move}")


@pytest.mark.parametrize(
    "text", ["1. The key", "3. Kind words", "see p. 12. each", "in 1926. Every", "2.5 points", "1.0"]
)
def test_what_does_not_look_like_play(text):
    assert not NUMBERED_MOVE.search(text)


PLAIN = re.compile(
    rf"(?<![\w.])\d{{1,3}}\s?(?:\.\s?\.\.\.?|\.{{1,3}}|…)\s*(?:{traces._MOVE}|{traces._DESCRIPTIVE})"
    rf"|(?<![\w.])\d{{1,2}}\s{traces._DESCRIPTIVE}"
)


@given(scraps() | st.lists(st.sampled_from(["1", "23", ".", "...", "…", " ", "Sf4", "P-K4", "a", "\n"])).map("".join))
def test_a_numbered_move_is_what_its_plain_pattern_says(text):
    assert [found.span() for found in NUMBERED_MOVE.finditer(text)] == [found.span() for found in PLAIN.finditer(text)]


@given(scraps(), st.integers(0, 3))
def test_lines_end_where_their_line_ends_begin(text, line):
    lines = re.split("\r\n|\r|\n", text)
    assert [span.of(text) for span in Lines(text).spans] == lines
    if line < len(lines):
        assert Lines(text).line_span(line + 1).of(text) == lines[line]
