"""Captions: WebVTT (W3C) and SubRip. The words stay, what times and styles them becomes spaces.

What is spoken runs on from cue to cue, so consecutive cues are one paragraph. A NOTE
block of WebVTT is a paragraph of its own: the place for a position that is shown and
not spoken.
"""

import re
from collections.abc import Iterator

from keyproof.grammar.document import Block
from keyproof.grammar.spans import Lines, Span

_TIMING = re.compile(r"\s*(?:\d{2,}:)?\d{2}:\d{2}[.,]\d{3}[ \t]+-->[ \t]+(?:\d{2,}:)?\d{2}:\d{2}[.,]\d{3}(?:[ \t].*)?")
_HEADER = re.compile(r"WEBVTT(?:[ \t].*)?")
_NOTE = re.compile(r"NOTE(?=[ \t]|$)")
_STYLE = re.compile(r"(?:STYLE|REGION)[ \t]*")
_TAG = re.compile(r"</?(?:[a-zA-Z][^<>\r\n]*|\d[\d:.,]*)?>|\{\\[^{}\r\n]*\}|&(?:lrm|rlm|nbsp);")


def read(text: str) -> tuple[str, list[Block]]:
    """Return the masked text and the blocks of a caption file of either kind. Never raises for any text."""
    shown = list(re.sub(r"[^\r\n]", " ", text))
    blocks: list[Block] = []
    running: Span | None = None
    for sort, span in _parts(text):
        shown[span.start : span.end] = span.of(text)
        if sort == "note":
            if running is not None:
                blocks.append(Block("paragraph", running))
                running = None
            blocks.append(Block("paragraph", span))
        else:
            running = span if running is None else running.to(span)
    if running is not None:
        blocks.append(Block("paragraph", running))
    masked = "".join(shown)
    return _TAG.sub(lambda tag: " " * len(tag[0]), masked), blocks


def _parts(text: str) -> Iterator[tuple[str, Span]]:
    """Yield the words of each cue ("cue") and of each comment ("note")."""
    for lines in _paragraphs(text):
        first = lines[0].of(text).lstrip("\ufeff")
        timing = next((place for place in (0, 1) if place < len(lines) and _is_timing(lines[place], text)), None)
        if timing is not None:
            words = lines[timing + 1 :]
            if words:
                yield "cue", _inked(text, words[0].to(words[-1]))
        elif note := _NOTE.match(first):
            inside = Span(lines[0].start + note.end(), lines[-1].end)
            if inside.of(text).strip():
                yield "note", _inked(text, inside)
        elif _HEADER.fullmatch(first) or _STYLE.fullmatch(first):
            continue
        else:  # no part of the format, so perhaps words that lost their timing
            yield "cue", _inked(text, lines[0].to(lines[-1]))


def _paragraphs(text: str) -> Iterator[list[Span]]:
    """Yield the lines between blank lines."""
    places = Lines(text)
    run: list[Span] = []
    for number in range(1, len(places.starts) + 1):
        line = places.line_span(number)
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
