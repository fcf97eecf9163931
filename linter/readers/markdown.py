"""Markdown (CommonMark with tables): the author's words stay where they stand, markup becomes spaces.

`markdown-it-py` decides what is markup. It gives lines for blocks only, so the content
of each block is found again in its lines, and the inline rules are wrapped to note
which characters they used up.

A bullet is a bullet even before "1...": set play is marked with a star by writing `\\*`.
The number of an ordered list stays if a move follows it, because "1. Sf4 Kd5" is play.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from functools import cache

from keyproof.grammar.boards import find_boards
from keyproof.grammar.document import Block, BlockKind
from keyproof.grammar.spans import Span, lines_of
from keyproof.grammar.traces import PRINTED_MOVE
from markdown_it import MarkdownIt
from markdown_it.rules_inline import autolink, backtick, emphasis, entity, escape, html_inline, image, link
from markdown_it.rules_inline.state_inline import StateInline
from markdown_it.token import Token
from msgspec import Struct, field

from .markdown_parts import parts

_FRONT_MATTER = re.compile(
    r"---[ \t]*(?:\r\n|\r|\n)(?=\s*[\w-]+[ \t]*:)(?:.*?(?:\r\n|\r|\n))??(?:---|\.\.\.)[ \t]*(?:\r\n|\r|\n|$)", re.S
)
_TAG = re.compile(
    r"<!--.*?(?:-->|\Z)|<(script|style)\b.*?(?:</\1\s*>|\Z)|<[?!].*?(?:>|\Z)|</?[a-zA-Z][^<>]*(?:>|\Z)", re.S | re.I
)
_QUOTE_SIGNS = re.compile(r"^[ \t]*>(?:[ \t]*>)*", re.M)
_MARKER = re.compile(r"(\d{1,9})\.[ \t]+$")
_CONTAINERS = re.compile(r"[\s>]*(?:(?:[-*+]|\d{1,9}[.)])\s+[\s>]*)*")  # of lists and quotations, before a row
_MARKUP = re.compile(r"[\\`*_\[<&]")  # without one of these a stretch of text is nothing but words
_STRETCH = re.compile(r"\S(?:[^\n]*\S)?")
_ESCAPED_BAR = re.compile(r"\\(?=\|)")
_ODD_BLANK = re.compile(r"[^\S \r\n]")  # a tab, a no-break space
_PUNCTUATION = frozenset("!\"#$%&'()*+,-./:;<=>?@[\\]^_`{|}~\n")

_Rule = Callable[[StateInline, bool], bool]


class _Notes(Struct):
    """What the inline rules used up in one stretch of text."""

    markup: list[tuple[int, int]] = field(default_factory=list)
    delimiters: list[tuple[int, Token]] = field(default_factory=list)
    inside_image: bool = False


def _noting(rule: _Rule, note: Callable[[StateInline, int, _Notes], None]) -> _Rule:
    def wrapped(state: StateInline, silent: bool) -> bool:
        start = state.pos
        notes: _Notes = state.env["notes"]
        if silent or notes.inside_image:
            return rule(state, silent)
        notes.inside_image = rule is image
        used = rule(state, silent)
        notes.inside_image = False
        if used:
            note(state, start, notes)
        return used

    return wrapped


def _all_used(state: StateInline, start: int, notes: _Notes) -> None:
    notes.markup.append((start, state.pos))


def _backslash(state: StateInline, start: int, notes: _Notes) -> None:
    if state.src[start + 1] in _PUNCTUATION:
        notes.markup.append((start, start + 1))


def _backticks(state: StateInline, start: int, notes: _Notes) -> None:
    ticks = len(state.src) - start - len(state.src[start:].lstrip("`"))
    if state.pos > start + ticks:
        notes.markup += [(start, start + ticks), (state.pos - ticks, state.pos)]


def _stars(state: StateInline, start: int, notes: _Notes) -> None:
    signs = state.pos - start
    notes.delimiters += zip(range(start, state.pos), state.tokens[-signs:], strict=True)


def _blank_entity(state: StateInline, start: int, notes: _Notes) -> None:
    if state.tokens[-1].content.isspace():
        notes.markup.append((start, state.pos))


def _link(state: StateInline, silent: bool) -> bool:
    start = state.pos
    if state.src[start] != "[":
        return False
    notes: _Notes = state.env["notes"]
    label_end = state.md.helpers.parseLinkLabel(state, start, True)
    used = link(state, silent)
    if used and not silent and not notes.inside_image:
        notes.markup += [(start, start + 1), (label_end, state.pos)]
    return used


def _cells(line: str, place: int) -> list[list[tuple[str, int]]]:
    """Part a table row from `place` on at its bars; each cell is its signs with their places in the line."""
    cells: list[list[tuple[str, int]]] = [[]]
    for index in range(place, len(line)):
        sign = line[index]
        if sign != "|":
            cells[-1].append((sign, index))
        elif index > place and line[index - 1] == "\\":
            cells[-1][-1] = (sign, index)  # an escaped bar belongs to the cell, its backslash does not
        else:
            cells.append([])
    return cells[1:] if len(cells) > 1 and not cells[0] else cells


def _blanked(text: str, hidden: list[tuple[int, int]]) -> str:
    """Return a text with line ends in the places to hide, so that no stretch of words goes across."""
    signs = list(text)
    for start, end in hidden:
        signs[start:end] = "\n" * (end - start)
    return "".join(signs)


@cache
def _markdown() -> MarkdownIt:
    markdown = MarkdownIt("commonmark").enable("table")
    for name, rule, note in (
        ("escape", escape, _backslash),
        ("backticks", backtick, _backticks),
        ("emphasis", emphasis.tokenize, _stars),
        ("image", image, _all_used),
        ("autolink", autolink, _all_used),
        ("html_inline", html_inline, _all_used),
        ("entity", entity, _blank_entity),
    ):
        markdown.inline.ruler.at(name, _noting(rule, note))
    markdown.inline.ruler.at("link", _link)
    markdown.inline.ruler2.disable("fragments_join")  # it would hide which stars became emphasis
    return markdown


class _Piece(Struct):
    """A block with what decides whether it flows on from the one before."""

    block: Block
    first_line: int  # from 0
    last_line: int
    move_number: int | None = None  # of an ordered list item that turned out to be play


def read(text: str) -> tuple[str, list[Block]]:
    """Return the masked text and the blocks of a Markdown text."""
    return _Reader(text).read()


class _Reader:
    def __init__(self, text: str) -> None:
        self.text = text
        self.places = lines_of(text)
        self.spans = self.places.spans
        self.lines = [span.of(text) for span in self.spans]
        self.masked = list(text)  # blank but for line ends, until the author's words are shown
        for start, end in self.spans:
            self.masked[start:end] = " " * (end - start)
        self.drawn: set[int] = set()  # lines of boards, kept from the parser
        self.pieces: list[_Piece] = []
        self.references: dict[str, object] = {}

    def read(self) -> tuple[str, list[Block]]:
        source = list(self.lines)
        matter = _FRONT_MATTER.match(self.text)
        for number, span in enumerate(self.spans):
            if matter and span.start < matter.end():
                source[number] = ""
        boards = self._boards(matter.end() if matter else 0)
        for first, last in boards:
            # "- - - -" in a board is neither a list nor a rule
            source[first : last + 1] = [""] * (last + 1 - first)
            self.drawn.update(range(first, last + 1))
        self._read_blocks("\n".join(source))
        for first, last in boards:
            self._show_lines(first, last, "code", unless_covered=True)
        self.pieces.sort(key=lambda piece: piece.block.span)
        return "".join(self.masked), [piece.block for piece in self._joined()]

    def _boards(self, after: int) -> list[tuple[int, int]]:
        """Return the first and last line (from 0) of each drawn board."""
        return [
            (self.places.place(board.span.start)[0] - 1, self.places.place(board.span.end)[0] - 1)
            for board in find_boards(self.text)
            if board.span.start >= after
        ]

    def _read_blocks(self, source: str) -> None:
        found = list(parts(source, _markdown()))
        for _, part in found:
            for label, target in part.references.items():
                self.references.setdefault(label, target)  # the first of two definitions counts
        for first, part in found:
            self._read_tokens(part.tokens, first)

    def _read_tokens(self, tokens: Sequence[Token], top: int) -> None:
        """Read blocks whose lines are counted from `top`."""
        open_blocks: list[Token] = []
        row: list[Span] = []
        marker: int | None = None  # the number of the ordered list item that has just been opened
        for index, token in enumerate(tokens):
            if token.type == "list_item_open":
                marker = int(token.info) if token.markup == "." else None
            if token.nesting > 0:
                open_blocks.append(token)
            elif token.nesting < 0:
                open_blocks.pop()
            if token.type == "inline" and token.map:
                if any(parent.type == "tr_open" for parent in open_blocks):
                    continue
                self._read_inline(token, top + token.map[0], open_blocks, marker)
                marker = None
            elif token.type == "tr_open" and token.map:
                line = top + token.map[0]
                row = self._read_row(line, tokens[index + 2].content)
                if row:
                    self._add("cell", row[0].to(row[-1]), line, line)
            elif token.type in ("fence", "code_block") and token.map:
                first = top + token.map[0] + (token.type == "fence")
                self._show_content(token.content.removesuffix("\n"), first, "code")
                marker = None
            elif token.type == "html_block" and token.map:
                self._read_html(top + token.map[0], top + token.map[1] - 1)
                marker = None

    def _add(
        self, kind: BlockKind, span: Span, first: int, last: int, level: int = 0, move_number: int | None = None
    ) -> None:
        self.pieces.append(_Piece(Block(kind, span, level), first, last, move_number))

    def _offsets(self, content: str, first: int) -> list[int]:
        """Return the offset in the text of each character of a block's content, which starts on line `first` or below.

        Lines of no-break spaces are paragraph lines to the parser and yet stripped from the content's start.
        """
        parts = content.split("\n")
        while first + len(parts) < len(self.lines) and parts[0].strip() not in self.lines[first]:
            first += 1
        offsets: list[int] = []
        for number, part in enumerate(parts, first):
            span = self.spans[number]
            inked = part.strip()
            place = self.lines[number].rfind(inked)
            lead = len(part) - len(part.lstrip())
            here = span.start + place - lead
            if span.start <= here <= span.end - len(part):
                offsets += range(here, here + len(part))
            else:
                offsets += [min(max(here + index, span.start), span.end) for index in range(len(part))]
            offsets.append(span.end)
        offsets.pop()
        return offsets

    def _show(self, content: str, offsets: list[int]) -> Span | None:
        """Show the author's words of a stretch of inline text; return the span from the first to the last."""
        if _MARKUP.search(content) is None:
            return self._ink(content, offsets)
        notes = _Notes()
        markdown = _markdown()
        markdown.inline.parse(content, markdown, {"notes": notes, "references": self.references}, [])
        hidden = [(index, index + 1) for index, token in notes.delimiters if not token.content]
        return self._ink(_blanked(content, [*notes.markup, *hidden]), offsets)

    def _ink(self, words: str, offsets: Sequence[int]) -> Span | None:
        """Show words at their offsets in the text, line by line; return the span from the first to the last."""
        stretches = [(offsets[found.start()], offsets[found.end() - 1] + 1) for found in _STRETCH.finditer(words)]
        if not stretches:
            return None
        for start, end in stretches:
            self.masked[start:end] = self.text[start:end]
        span = Span(stretches[0][0], stretches[-1][1])
        # Blanks between words are the author's own, also beside markup.
        for blank in _ODD_BLANK.finditer(self.text, *span):
            self.masked[blank.start()] = blank[0]
        return span

    def _read_inline(self, token: Token, first: int, parents: list[Token], marker: int | None) -> None:
        offsets = self._offsets(token.content, first)
        span = self._show(token.content, offsets)
        if span is None:
            return
        last = first + token.content.count("\n")
        parent = parents[-1]
        if parent.type == "heading_open":
            self._add("heading", span, first, last, int(parent.tag[1:]))
            return
        inside_item = any(other.type == "list_item_open" for other in parents)
        number = None
        if marker is not None:
            before = _MARKER.search(self.text, self.spans[first].start, offsets[0])
            if before and int(before[1]) == marker and PRINTED_MOVE.match(token.content):
                span = Span(before.start(), span.end)
                self.masked[before.start() : offsets[0]] = self.text[before.start() : offsets[0]]
                number = marker
        self._add("item" if inside_item else "paragraph", span, first, last, move_number=number)

    def _read_row(self, number: int, first_cell: str) -> list[Span]:
        """Show the cells of a table row; return their spans."""
        line, start = self.lines[number], self.spans[number].start
        before = _CONTAINERS.match(line)
        for place in range(before.end() if before else 0, -1, -1):
            cells = _cells(line, place)
            if "".join(sign for sign, _ in cells[0]).strip() == first_cell:
                break
        spans = []
        for cell in cells:
            span = self._show("".join(sign for sign, _ in cell), [start + place for _, place in cell])
            spans += [span] if span else []
        for escape_sign in _ESCAPED_BAR.finditer(line, place):
            self.masked[start + escape_sign.start()] = " "
        return spans

    def _show_content(self, content: str, first: int, kind: BlockKind) -> None:
        parts = enumerate(content.split("\n"), first)
        content = "\n".join(self.lines[number].strip() if number in self.drawn else part for number, part in parts)
        if not content.strip():
            return
        offsets = self._offsets(content, first)
        span = self._ink(content, offsets)
        if span is not None:
            self._add(kind, span, first, first + content.count("\n"))

    def _show_lines(self, first: int, last: int, kind: BlockKind, *, unless_covered: bool = False) -> None:
        covered = any(piece.first_line <= first and last <= piece.last_line for piece in self.pieces)
        if not (unless_covered and covered):
            self._show_content("\n".join(self.lines[first : last + 1]), first, kind)

    def _read_html(self, first: int, last: int) -> None:
        """Show what stands between the tags of raw HTML; comments, scripts and styles are left out."""
        start, end = self.spans[first].start, self.spans[min(last, len(self.spans) - 1)].end
        raw = self.text[start:end]
        hidden = [found.span() for pattern in (_TAG, _QUOTE_SIGNS) for found in pattern.finditer(raw)]
        span = self._ink(_blanked(raw, hidden), range(start, end))
        if span is not None:
            self._add("paragraph", span, first, last)

    def _joined(self) -> Iterator[_Piece]:
        """Join list items that are moves 1, 2, 3 of one line of play, also to the words that lead into them."""
        current: _Piece | None = None
        for piece in self.pieces:
            if current is not None and self._flows_on(current, piece):
                block = Block(current.block.kind, current.block.span.to(piece.block.span), current.block.level)
                current = _Piece(block, current.first_line, piece.last_line, piece.move_number)
                continue
            if current is not None:
                yield current
            current = piece
        if current is not None:
            yield current

    @staticmethod
    def _flows_on(before: _Piece, after: _Piece) -> bool:
        if after.move_number is None or before.block.kind not in ("paragraph", "item"):
            return False
        if before.move_number is not None:
            return after.move_number == before.move_number + 1
        return after.first_line == before.last_line + 1
