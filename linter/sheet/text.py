"""The author's text, line by line: findings marked where they stand, moves that can be gone through, signs hidden."""

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise

import chess
from keyproof.grammar.boards import find_boards
from keyproof.grammar.document import Document
from keyproof.grammar.fens import find_fens
from keyproof.grammar.spans import Lines, Span
from keyproof.rules.finding import Level
from msgspec import Struct

from ..diagrams.svg import described
from ..manuscripts.model import Manuscript
from ..shown_moves import ShownMove
from .markup import Markup, join, tag


class Marked(Struct, frozen=True):
    """A place that a finding or a remark is about, with its number on the page."""

    number: int
    span: Span
    level: Level
    message: str


# Signs of Markdown that say how words look, so that on the page the look stands for them.
_SIGNS = re.compile(r"[*_`#\\]+")
_BULLET = re.compile(r"[-*+](?=[ \t])")
_BLANKS = re.compile(r"[ \t]*")
_ROW = re.compile(r"[^\r\n]+")


class Author:
    """The text of one file as it is shown. Markup is read in the kinds of file that have some."""

    def __init__(self, document: Document, *, markdown: bool) -> None:
        self.document = document
        self.lines = Lines(document.text)
        found: list[tuple[Span, str]] = [(board.span, "drawn") for board in find_boards(document.text)]
        found += [(fen.span, "fen") for fen in find_fens(document.text) if not fen.faults]
        self._headings: dict[int, int] = {}  # the level of each line of a heading
        for block in document.blocks:
            first, last = (self.lines.place(offset)[0] for offset in (block.span.start, block.span.end - 1))
            if block.kind == "heading":
                self._headings.update({number: max(1, block.level) for number in range(first, last + 1)})
            elif block.kind == "code":
                found.append((block.span, "code"))
        if markdown:
            found.extend(self._of_signs())
        self._looks: dict[int, list[tuple[Span, str]]] = {}  # of each line
        for place, look in sorted(found):
            first, last = (self.lines.place(offset)[0] for offset in place)
            for number in range(first, last + 1):
                self._looks.setdefault(number, []).append((place, look))

    def _of_signs(self) -> Iterator[tuple[Span, str]]:
        """Yield the looks that signs give, and the signs themselves; other markup is shown faint."""
        text, masked = self.document.text, self.document.masked
        opened: list[tuple[str, int]] = []
        for row in _ROW.finditer(text):
            if not row[0].strip():
                opened = []
            for start, end in _hidden(text, masked, Span(*row.span())):
                words = text[start:end]
                bullet = _BULLET.match(text, start) if not text[row.start() : start].strip(" \t>") else None
                if bullet is not None and bullet.end() == end:
                    yield Span(start, end), "bullet"
                elif not _SIGNS.fullmatch(words):
                    yield Span(start, end), "faint"
                elif words[0] == "#":
                    yield Span(start, _BLANKS.match(text, end).end()), "sign"  # type: ignore[union-attr]  # always fits
                else:
                    yield Span(start, end), "sign"
                    opened, begun = _closed(opened, words, start)
                    if begun is not None:
                        yield Span(begun, end), _look(words)

    def heading(self, number: int) -> int:
        """Return the level of the heading a line (from 1) is part of, 0 for other lines."""
        return self._headings.get(number, 0)

    def rows(self, span: Span, marks: Sequence[Marked], moves: Sequence[ShownMove]) -> list[tuple[int, Markup]]:
        """Return the lines of a stretch that hold anything, with their numbers, blank ones between them too."""
        found = [(number, self._row(number, span, marks, moves)) for number in self._numbers(span)]
        while found and not self.lines.spans[found[-1][0] - 1].of(self.document.text).strip() and not _told(found[-1]):
            found.pop()
        return found

    def _numbers(self, span: Span) -> range:
        """Return the lines of a stretch; the last of a text may be empty."""
        if span.start == span.end:
            return range(1, 2) if not self.document.text else range(0)
        end = span.end if span.end == len(self.document.text) else span.end - 1
        return range(self.lines.place(span.start)[0], self.lines.place(end)[0] + 1)

    def _row(self, number: int, stretch: Span, marks: Sequence[Marked], moves: Sequence[ShownMove]) -> Markup:
        line = self.lines.line_span(number)
        looks = self._looks.get(number, [])
        here = [mark for mark in marks if mark.span.start <= line.end and line.start <= mark.span.end]
        told = [move for move in moves if move.span.start < line.end and line.start < move.span.end]
        text = self.document.text
        spans = [*(place for place, _ in looks), *(mark.span for mark in here), *(move.span for move in told)]
        anchors = [at for mark in marks if line.start <= (at := self._anchor(mark, stretch)) <= line.end]
        edges = (min(max(at, line.start), line.end) for place in spans for at in place)
        cuts = {line.start, line.end, *anchors, *edges}
        parts: list[Markup] = []
        for start, end in pairwise([*sorted(cuts), line.end]):
            parts.extend(_number(mark) for mark in marks if self._anchor(mark, stretch) == start)
            names = [look for place, look in looks if place.start <= start and end <= place.end and start < end]
            covering = [mark for mark in here if mark.span.start <= start and end <= mark.span.end]
            move = next((move for move in told if move.span.start <= start and end <= move.span.end), None)
            parts.append(_piece(text[start:end], names, covering, move))
        level = self.heading(number)
        shown = None if isinstance(self.document, Manuscript) else str(number)  # which has places with names instead
        return tag("span", *parts, class_=f"row h{min(level, 3)}" if level else "row", data_line=shown)

    def _anchor(self, mark: Marked, stretch: Span) -> int:
        """Return where the number of a mark stands: at its end, or where its last line in the stretch ends."""
        end = min(mark.span.end, stretch.end)
        number = self.lines.place(end)[0]
        line = self.lines.line_span(number)
        if end == line.start and end > mark.span.start:
            return self.lines.line_span(number - 1).end
        return min(end, line.end)


def _told(row: tuple[int, Markup]) -> bool:
    return "<a " in row[1] or "<mark" in row[1]


def _hidden(text: str, masked: str, row: Span) -> Iterator[Span]:
    """Yield the stretches of a line that the reader took for markup, blanks at their edges left out."""
    at = row.start
    while at < row.end:
        if masked[at] != text[at]:
            start = at
            while at < row.end and (masked[at] != text[at] or text[at].isspace()):
                at += 1
            end = at
            while end > start and text[end - 1].isspace():
                end -= 1
            yield Span(start, end)
        else:
            at += 1


def _look(sign: str) -> str:
    """Return how words look between two signs of Markdown."""
    if sign[0] == "`":
        return "code"
    return "em" if len(sign) == 1 else "strong"


def _closed(opened: list[tuple[str, int]], words: str, start: int) -> tuple[list[tuple[str, int]], int | None]:
    """Match a sign with the one that opened, if there is one; return what is open now, and where that one stands."""
    if words[0] not in "*_`":
        return opened, None
    for place in range(len(opened) - 1, -1, -1):
        if opened[place][0] == words:
            return opened[:place], opened[place][1]
    return [*opened, (words, start)], None


def _piece(words: str, looks: Sequence[str], covering: Sequence[Marked], move: ShownMove | None) -> Markup:
    if not words:
        return Markup("")
    shown = join(words) if not looks else tag("span", words, class_=" ".join(dict.fromkeys(looks)))
    if move is not None:
        board = chess.Board(move.fen)
        shown = tag(
            "span",
            shown,
            class_="move",
            data_men=board.board_fen(),
            data_to=chess.square_name(move.to) if move.to is not None else None,
            data_title=f"The position after {move.line}",
            data_words=described(board),
        )
    if covering:
        return tag("mark", shown, class_=max(mark.level for mark in covering).name)
    return shown


def _number(mark: Marked) -> Markup:
    label = f"{mark.level.name} {mark.number}: {mark.message}"
    return tag(
        "a", str(mark.number), href=f"#note{mark.number}", id=f"place{mark.number}", class_="number", aria_label=label
    )
