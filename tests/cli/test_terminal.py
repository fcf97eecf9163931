"""Escaping, width and wrapping, for every text there is."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st
from keyproof.linter.reports.terminal import Line, Part, columns, escape, line, wrapped


@pytest.mark.parametrize(
    ("text", "escaped"),
    [
        ("1.Nf4! ♞ é 𝄞", "1.Nf4! ♞ é 𝄞"),
        ("a\nb\r\tc", "a\\nb\\r\\tc"),
        ("\x00\x1b\x7f\x9b", "\\x00\\x1b\\x7f\\x9b"),
        ("\u2028\u202e\u2066", "\\u2028\\u202e\\u2066"),
        ("caf\udce9.txt", "caf\\xe9.txt"),  # PEP 383: how an undecodable byte of a file name arrives
        ("\ud800", "\\ud800"),
        ("\U000e0001", "\\U000e0001"),
        ("👩\u200d🦰", "👩\u200d🦰"),
    ],
)
def test_escape(text: str, escaped: str) -> None:
    assert escape(text) == escaped


@given(st.text())
def test_escaped_text_is_harmless(text: str) -> None:
    shown = escape(text)
    assert not any(unicodedata.category(sign) in ("Cc", "Zl", "Zp", "Cs") for sign in shown)
    assert escape(shown) == shown
    shown.encode()


@pytest.mark.parametrize(
    ("text", "width"),
    [("abc", 3), ("é", 1), ("e\u0301", 1), ("将棋", 4), ("♔", 1), ("", 0)],
)
def test_columns(text: str, width: int) -> None:
    # Unicode Standard Annex 11: wide and full-width signs take two columns, combining marks none.
    assert columns(text) == width


@given(
    st.lists(st.tuples(st.text("ab 将é[", max_size=12), st.sampled_from(["plain", "error"])), max_size=8),
    st.integers(10, 60),
)
def test_wrapping_loses_nothing(parts: list[tuple[str, str]], width: int) -> None:
    whole = Line(tuple(Part(*part) for part in parts), hang=4)  # type: ignore[arg-type]
    pieces = wrapped(whole, width)
    assert "".join(piece.text for piece in pieces).split() == whole.text.split() or len(pieces) > 1
    assert " ".join(piece.text for piece in pieces).split() == whole.text.split()
    looks = {part.look for piece in pieces for part in piece.parts if part.text.strip()}
    assert looks == {part.look for part in whole.parts if part.text.strip()}
    for index, piece in enumerate(pieces):
        assert columns(piece.text) <= width or len(piece.text.split()) == 1
        assert not index or piece.text.startswith("    ")


def test_a_short_line_is_left_alone() -> None:
    whole = line("  a  b  ")
    assert wrapped(whole, 8) == [whole]


def test_parts_that_touch_stay_together() -> None:
    whole = Line((Part("aaaa bb"), Part("bb", "error"), Part("b cc")), hang=2)
    assert [piece.text for piece in wrapped(whole, 8)] == ["aaaa", "  bbbbb", "  cc"]
