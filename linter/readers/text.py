"""Plain text: blocks between blank lines, headings by their look.

A heading is a line under which a row of = or - is drawn, a "# Title", or a short
numbered line ("No. 3", "Problem 3", "1. The Lighthouse") with a position below it.
"""

import re
from collections.abc import Sequence

from keyproof.grammar.document import Block, Diagram, Document
from keyproof.grammar.positions import find_diagrams
from keyproof.grammar.spans import Span, lines_of
from keyproof.grammar.titles import MANY_ANSWERS, TO
from keyproof.grammar.traces import NUMBERED_MOVE, PRINTED_MOVE

_SIGNED = re.compile(r"\s{0,3}(#(?![ \t]+\d{1,2}(?:\.5|½)?\s*$)|#{2,6})[ \t]+\S")  # "# 2" is a stipulation
_REMARK = re.compile(r"\s{0,3}#+(?=\s)")
_UNDERLINE = re.compile(r"\s*(={3,}|-{3,})\s*")
_DIVIDER = re.compile(r"\s*([-=_*~#+.·•])(?:\s*\1){2,}\s*")
_LABEL = re.compile(
    r"\s*(?:no|nr|problem|puzzle|diagram|position|aufgabe|problème|problema|opgave|zadanie|задача)\b\.?\s*"
    r"(?:(?:no|nr)\.?\s*)?\d+(?P<more>.*)",
    re.IGNORECASE,
)
_NUMBERED = re.compile(r"\s*\d{1,4}[.)]\s+(?P<more>\S.*)")
_ANSWERS = re.compile(
    rf"\s*(?:the\s+)?{MANY_ANSWERS}(?:\s+(?:{TO}|and|und|with|mit)\s+[^.!?:;,]{{1,40}})?\s*:?\s*", re.IGNORECASE
)
_LONGEST_LABEL = 70  # characters; a longer line is a sentence
_LINES_BETWEEN = 4  # a composer, a source, a date and a stipulation may stand between label and position


def read(text: str) -> tuple[str, list[Block]]:
    """Return the masked text and the blocks of a plain text."""
    return _Reader(text).read()


class _Reader:
    def __init__(self, text: str) -> None:
        self.text = text
        self.spans = lines_of(text).spans
        self.lines = [span.of(text) for span in self.spans]
        diagrams = find_diagrams(Document("", text, text, ()))
        self.drawn = self._lines_of(diagrams)
        self.opening = self._lines_of(diagrams, first_only=True)
        self.masked = list(text)

    def _lines_of(self, diagrams: Sequence[Diagram], *, first_only: bool = False) -> set[int]:
        found: set[int] = set()
        number = 0
        for diagram in diagrams:
            while self.spans[number].end < diagram.span.start:
                number += 1
            last = number
            while not first_only and last + 1 < len(self.spans) and self.spans[last + 1].start < diagram.span.end:
                last += 1
            found.update(range(number, last + 1))
        return found

    def _blank(self, number: int) -> bool:
        return not 0 <= number < len(self.lines) or not self.lines[number].strip()

    def _mask(self, span: Span) -> None:
        self.masked[span.start : span.end] = " " * (span.end - span.start)

    def read(self) -> tuple[str, list[Block]]:
        blocks: list[Block] = []
        start: int | None = None  # the first line of the paragraph being read
        number = 0
        while number <= len(self.lines):
            level, height = self._heading(number, start is None)
            divider = not level and self._divider(number)
            if (level or divider or self._blank(number)) and start is not None:
                blocks.append(Block("paragraph", self._trim(start, number - 1)))
                start = None
            if level:
                blocks.append(self._heading_block(number, level, height))
                number += height
                continue
            if divider:
                self._mask(self.spans[number])
            elif start is None and not self._blank(number):
                start = number
            if not level and number < len(self.lines) and (sign := _REMARK.match(self.lines[number])):
                at = self.spans[number].start
                if self._is_remark(number):
                    self._mask(Span(at, at + sign.end()))
            number += 1
        return "".join(self.masked), blocks

    def _trim(self, first: int, last: int) -> Span:
        start = self.spans[first].start + len(self.lines[first]) - len(self.lines[first].lstrip())
        return Span(start, self.spans[last].start + len(self.lines[last].rstrip()))

    def _heading_block(self, number: int, level: int, height: int) -> Block:
        span = self._trim(number, number)
        if height == 2:
            self._mask(self.spans[number + 1])
        elif signs := _SIGNED.match(self.lines[number]):
            self._mask(Span(span.start, span.start + len(signs[1])))
            inside = self.lines[number][signs.end(1) :]
            span = Span(span.start + len(signs[1]) + len(inside) - len(inside.lstrip()), span.end)
        return Block("heading", span, level)

    def _divider(self, number: int) -> bool:
        return number < len(self.lines) and number not in self.drawn and bool(_DIVIDER.fullmatch(self.lines[number]))

    def _heading(self, number: int, opens_block: bool) -> tuple[int, int]:
        """Return the level of the heading that starts on this line, 0 for none, and how many lines it takes."""
        if self._blank(number) or number in self.drawn or _DIVIDER.fullmatch(self.lines[number]):
            return 0, 1
        line = self.lines[number]
        if signs := _SIGNED.match(line):
            if self._is_remark(number):
                return 0, 1
            return len(signs[1]), 1
        if not opens_block:
            return 0, 1
        below = number + 1
        if below < len(self.lines) and below not in self.drawn and (rule := _UNDERLINE.fullmatch(self.lines[below])):
            sentence = line.rstrip()[-1] in ".;," and not _LABEL.fullmatch(line)
            if not sentence and len(line.strip()) <= 100 and not NUMBERED_MOVE.search(line):
                return (1 if "=" in rule[1] else 2), 2
        if _ANSWERS.fullmatch(line):
            return 1, 1
        if self._is_label(number):
            return 3, 1
        return 0, 1

    def _is_remark(self, number: int) -> bool:
        """Tell whether a line that begins with "#" is one of several alike, as remarks are set off from data."""
        near = [_REMARK.match(self.lines[each]) for each in range(max(0, number - 1), min(len(self.lines), number + 2))]
        return sum(sign is not None and len(sign[0].strip()) == 1 for sign in near) > 1

    def _is_label(self, number: int) -> bool:
        line = self.lines[number]
        if len(line.strip()) > _LONGEST_LABEL or NUMBERED_MOVE.search(line):
            return False
        if label := _LABEL.fullmatch(line):
            return label["more"].rstrip()[-1:] not in (".", "!", "?", ";", ",") and self._position_below(number)
        numbered = _NUMBERED.fullmatch(line)
        if numbered is None or PRINTED_MOVE.match(numbered["more"]) or line.rstrip()[-1] in ".;,":
            return False
        return self._position_below(number)

    def _position_below(self, number: int) -> bool:
        passed = 0
        for below in range(number + 1, len(self.lines)):
            if below in self.opening:
                return True
            if self._blank(below):
                continue
            passed += 1
            line = self.lines[below]
            if passed > _LINES_BETWEEN or _LABEL.fullmatch(line) or NUMBERED_MOVE.search(line):
                return False
        return False
