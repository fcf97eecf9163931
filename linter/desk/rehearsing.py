"""A script as it is spoken: its sentences in order, each with the position that is on the board when it ends."""

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from html import escape
from typing import Literal

import chess
from keyproof.grammar.clauses import sentences
from keyproof.grammar.spans import Span
from keyproof.rules.case.case import Case

from ..listen.desk import Checked, Entry

LINE = 42  # characters of a line of captions, and two lines in a cue: common practice, no source
CUE = 2


@dataclass(frozen=True)
class Spoken:
    """A sentence: its place, its words, and the board it is spoken over (None before the first position).

    `line` are the words for how the board came to stand, `to` the square the last man came to.
    """

    span: Span
    words: str
    board: chess.Board | None
    line: str
    to: chess.Square | None


@dataclass(frozen=True)
class Cue:
    """Words and when they are spoken, in milliseconds."""

    start: int
    end: int
    words: str


def script(checked: Checked) -> Iterator[Spoken]:
    """Yield the sentences of a text in order; positions and markup are not spoken."""
    document = checked.document
    masked = _without_positions(checked)
    shown: dict[int, tuple[chess.Board, str, chess.Square | None]] = {}
    for block in document.blocks:
        if block.kind == "code":
            continue
        for lexemes in sentences(masked, block.span):
            span = Span(lexemes[0].span.start, lexemes[-1].span.end)
            words = " ".join(span.of(masked).split())
            if not any(sign.isalnum() for sign in words):
                continue
            entry = checked.at(span.start) or checked.above(span.start)
            if entry is None:
                yield Spoken(span, words, None, "", None)
                continue
            begins = _diagram(entry.kept.case)
            found = _reached(entry, span) or shown.get(id(entry.kept)) or (begins and (begins, "", None))
            if not found:
                yield Spoken(span, words, None, "", None)
                continue
            shown[id(entry.kept)] = found
            yield Spoken(span, words, *found)


def _without_positions(checked: Checked) -> str:
    """Return the masked text with its diagrams blanked."""
    masked = list(checked.document.masked)
    for entry in checked.entries:
        for diagram in entry.puzzle.diagrams:
            if entry.puzzle.asked is None:
                for at in range(*diagram.span):
                    masked[at] = masked[at] if masked[at] in "\r\n" else " "
    return "".join(masked)


def _diagram(case: Case) -> chess.Board | None:
    return case.reading.diagram.board if case.reading is not None else None


def _reached(entry: Entry, span: Span) -> tuple[chess.Board, str, chess.Square | None] | None:
    """Return the position after the last move of a sentence, with that move; None where it has none."""
    case, start = entry.kept.case, entry.in_case(span.start)
    if case.reading is None or start is None:
        return None
    end = start + span.end - span.start
    inside = [each for each in case.reading.mentions if start <= each.phrase.span.start < end and each.after]
    node = inside[-1].after[0] if inside else None
    if node is None or node.parent is None or node.move is None:
        return None
    said = case.letters(node.parent.board.san(node.move)) if node.move else "(pass)"
    return node.board, f"{node.parent.number}{said}", node.move.to_square if node.move else None


def positions(spoken: Sequence[Spoken]) -> list[tuple[str, str]]:
    """Return each position that the board changes to, with the words it is spoken over, in order."""
    found: list[tuple[str, str]] = []
    before = None
    for each in spoken:
        fen = each.board.fen() if each.board is not None else None
        if fen is not None and fen != before:
            found.append((fen, f"{each.line or 'the diagram'}: {each.words}"))
        before = fen or before
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
