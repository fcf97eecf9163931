"""Captions: WebVTT (W3C) and SubRip. The words stay, what times and styles them becomes spaces.

What is spoken runs on from cue to cue, so consecutive cues are one paragraph. A NOTE
block of WebVTT is a paragraph of its own: the place for a position that is shown and
not spoken. Where captions roll up, a cue begins with the last lines of the one before;
those count once.
"""

import re
from collections.abc import Iterator
from typing import NamedTuple

from keyproof.grammar.document import Block
from keyproof.grammar.spans import Lines, Span

_CLOCK = r"(?:\d{2,}:)?\d{2}:\d{2}[.,]\d{3}"
_TIMING = re.compile(rf"\s*(?P<start>{_CLOCK})[ \t]+-->[ \t]+{_CLOCK}(?:[ \t].*)?")
_HEADER = re.compile(r"WEBVTT(?:[ \t].*)?")
_NOTE = re.compile(r"NOTE(?=[ \t]|$)")
_STYLE = re.compile(r"(?:STYLE|REGION)[ \t]*")
_TAG = re.compile(r"</?(?:[a-zA-Z][^<>\r\n]*|\d[\d:.,]*)?>|\{\\[^{}\r\n]*\}|&(?:lrm|rlm|nbsp);")


class _Part(NamedTuple):
    """The words of a cue, or of a comment, which has no `start` (milliseconds)."""

    span: Span
    start: int | None
    note: bool = False


def read(text: str) -> tuple[str, list[Block]]:
    """Return the masked text and the blocks of a caption file of either kind. Never raises for any text."""
    shown = list(re.sub(r"[^\r\n]", " ", text))
    blocks: list[Block] = []
    running: Span | None = None
    for part in _parts(text):
        shown[part.span.start : part.span.end] = part.span.of(text)
        if part.note:
            if running is not None:
                blocks.append(Block("paragraph", running))
                running = None
            blocks.append(Block("paragraph", part.span))
        else:
            running = part.span if running is None else running.to(part.span)
    if running is not None:
        blocks.append(Block("paragraph", running))
    for repeat in _repeats(text):
        shown[repeat.start : repeat.end] = " " * (repeat.end - repeat.start)
    masked = "".join(shown)
    return _TAG.sub(lambda tag: " " * len(tag[0]), masked), blocks


def times(text: str) -> list[tuple[int, int | None]]:
    """Return where each cue begins, with its time in milliseconds, and each comment, which has none (None)."""
    return [(part.span.start, part.start) for part in _parts(text)]


def _parts(text: str) -> Iterator[_Part]:
    """Yield the words of each cue and of each comment."""
    start: int | None = None
    for lines in _paragraphs(text):
        first = lines[0].of(text).lstrip("\ufeff")
        timing = next((place for place in (0, 1) if place < len(lines) and _is_timing(lines[place], text)), None)
        if timing is not None:
            words = lines[timing + 1 :]
            start = _milliseconds(lines[timing].of(text))
            if words:
                yield _Part(_inked(text, words[0].to(words[-1])), start)
        elif note := _NOTE.match(first):
            inside = Span(lines[0].start + note.end(), lines[-1].end)
            if inside.of(text).strip():
                yield _Part(_inked(text, inside), None, note=True)
        elif _HEADER.fullmatch(first) or _STYLE.fullmatch(first):
            continue
        else:  # no part of the format, so perhaps words that lost their timing
            yield _Part(_inked(text, lines[0].to(lines[-1])), start)


def _repeats(text: str) -> Iterator[Span]:
    """Yield the lines at the start of a cue that have just been shown at the end of the one before."""
    before: list[str] = []
    for part in _parts(text):
        if part.note:
            continue
        lines = Lines(part.span.of(text))
        spans = lines.spans
        words = [_TAG.sub("", span.of(lines.text)).strip() for span in spans]
        for count in range(min(len(before), len(words)), 0, -1):
            if before[-count:] == words[:count]:
                for span in spans[:count]:
                    yield Span(part.span.start + span.start, part.span.start + span.end)
                break
        before = words


def _milliseconds(timing: str) -> int:
    """Return the start of a cue by its timing line; a count of hours may have any length."""
    clock = _TIMING.fullmatch(timing)
    assert clock is not None
    *units, thousandths = (int(digits) for digits in re.findall(r"\d+", clock["start"]))
    seconds = 0
    for unit in units:
        seconds = 60 * seconds + unit
    return 1000 * seconds + thousandths


def _paragraphs(text: str) -> Iterator[list[Span]]:
    """Yield the lines between blank lines."""
    run: list[Span] = []
    for line in Lines(text).spans:
        if line.of(text).strip():
            run.append(line)
        elif run:
            yield run
            run = []
    if run:
        yield run


def _is_timing(line: Span, text: str) -> bool:
    return bool(_TIMING.fullmatch(line.of(text)))


def _inked(text: str, span: Span) -> Span:
    words = span.of(text)
    start = span.start + len(words) - len(words.lstrip())
    return Span(start, span.start + len(words.rstrip()))
