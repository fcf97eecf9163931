"""A script as it is spoken: its sentences in order, each with the position that is on the board when it ends."""

import re
import textwrap
from collections.abc import Iterator, Sequence
from html import escape
from itertools import chain, pairwise
from typing import Literal

import chess
from keyproof.grammar.lexicon.lexemes import Lexeme
from keyproof.grammar.sentence_ends import sentences
from keyproof.grammar.spans import Span
from keyproof.rules.case.case import Case
from msgspec import Struct

from ..listen.desk import Checked, Entry
from ..listen.words import word

LINE = 42  # characters of a line of captions, and two lines in a cue: common practice, no source
CUE = 2

_STOP = re.compile(r"[ \t]*[.,;:]")
_TELLS = frozenset(("man", "side", "castle"))  # what begins a move in words: "2. Queen takes"
_COUNTED = re.compile(r"\(?\d{1,2}\s*\+\s*\d{1,2}\)?\.?")  # how many men there are, which is printed and not spoken


class Shown(Struct, frozen=True):
    """A board: `line` are the words for how it came to stand, `to` is the square the last man came to."""

    board: chess.Board
    line: str = ""
    to: chess.Square | None = None


class Spoken(Struct, frozen=True):
    """A sentence: its place, its words, and the boards it is spoken over, one for each move it tells.

    A sentence without a move has the board of the one before; there is none before the first position.
    """

    span: Span
    words: str
    boards: tuple[Shown, ...]


class Cue(Struct, frozen=True):
    """Words and when they are spoken, in milliseconds."""

    start: int
    end: int
    words: str


def script(checked: Checked) -> Iterator[Spoken]:
    """Yield the sentences of a text in order; positions and markup are not spoken."""
    document = checked.document
    masked = _without_positions(checked)
    shown: dict[int, Shown] = {}
    for block in document.blocks:
        if block.kind == "code":
            continue
        for lexemes in chain.from_iterable(map(_breaths, sentences(masked, block.span))):
            span = Span(lexemes[0].span.start, lexemes[-1].span.end)
            words = " ".join(span.of(masked).split())
            if not any(sign.isalnum() for sign in words) or _COUNTED.fullmatch(words):
                continue
            entry = checked.at(span.start) or checked.above(span.start)
            boards = tuple(_reached(entry, span)) if entry is not None else ()
            if entry is not None and not boards:
                before = shown.get(id(entry.kept)) or _diagram(entry.kept.case)
                boards = (before,) if before is not None else ()
            if entry is not None and boards:
                shown[id(entry.kept)] = boards[-1]
            yield Spoken(span, words, boards)


def _breaths(sentence: list[Lexeme]) -> Iterator[list[Lexeme]]:
    """Cut a sentence as it is read for its sense where a reader aloud pauses too: behind "1.Qb6!" and "No. 1."."""
    begun = 0
    for at, (before, after) in enumerate(pairwise(sentence), start=1):
        opens = after.kind in ("word", "unknown") and after.text[:1].isupper()
        numbered = before.kind == "number" and at - begun > 1 and not _TELLS & after.categories
        if opens and (numbered or (before.kind == "move" and before.text[-1] in "!?")):
            yield sentence[begun:at]
            begun = at
    yield sentence[begun:]


def _without_positions(checked: Checked) -> str:
    """Return the masked text with its diagrams blanked, and the stop or comma behind each."""
    masked = list(checked.document.masked)
    for entry in checked.entries:
        for diagram in entry.puzzle.diagrams:
            if entry.puzzle.asked is None:
                behind = _STOP.match(checked.document.masked, diagram.span.end)
                for at in range(diagram.span.start, behind.end() if behind else diagram.span.end):
                    masked[at] = masked[at] if masked[at] in "\r\n" else " "
    return "".join(masked)


def _diagram(case: Case) -> Shown | None:
    return Shown(case.reading.diagram.board) if case.reading is not None else None


def _reached(entry: Entry, span: Span) -> Iterator[Shown]:
    """Yield the position after each move of a sentence, in the order it tells them."""
    case, start = entry.kept.case, entry.in_case(span.start)
    if case.reading is None or start is None:
        return
    end = start + span.end - span.start
    inside = [each for each in case.reading.mentions if start <= each.phrase.span.start < end and each.after]
    for mention in sorted(inside, key=lambda each: each.phrase.span):
        node = mention.after[0]
        if node.parent is None or node.move is None:
            continue
        said = case.letters(node.parent.board.san(node.move))
        yield Shown(node.board, f"{node.parent.number}{said}", node.move.to_square if node.move else None)


def positions(spoken: Sequence[Spoken]) -> list[tuple[str, str]]:
    """Return each position that the board changes to, with the words it is spoken over, in order."""
    found: list[tuple[str, str]] = []
    for each in spoken:
        for shown in each.boards:
            fen = shown.board.fen()
            if not found or fen != found[-1][0]:
                found.append((fen, f"{shown.line or word('the_diagram')}: {each.words}"))
    return found


def cues(timed: Sequence[tuple[int, int, str]]) -> list[Cue]:
    """Cut sentences with their times into cues of two lines; a longer sentence shares its time by its letters."""
    found = []
    for start, end, words in timed:
        lines = textwrap.wrap(words, LINE, break_long_words=True) or [""]
        parts = ["\n".join(lines[at : at + CUE]) for at in range(0, len(lines), CUE)]
        whole, gone = sum(map(len, parts)) or 1, 0
        for part in parts:
            first = start + (end - start) * gone // whole
            gone += len(part)
            found.append(Cue(first, max(first + 1, start + (end - start) * gone // whole), part))
    return found


def captions(of: Sequence[Cue], form: Literal["vtt", "srt"]) -> str:
    """Write cues as WebVTT (W3C) or SubRip."""
    blocks = ["WEBVTT"] if form == "vtt" else []
    for number, cue in enumerate(of, start=1):
        words = escape(cue.words, quote=False) if form == "vtt" else cue.words  # WebVTT 4.2.2
        blocks.append(f"{number}\n{_clock(cue.start, form)} --> {_clock(cue.end, form)}\n{words}")
    return "\n\n".join(blocks) + "\n"


def _clock(milliseconds: int, form: str) -> str:
    seconds, thousandths = divmod(milliseconds, 1000)
    mark = "." if form == "vtt" else ","
    return f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}{mark}{thousandths:03}"
