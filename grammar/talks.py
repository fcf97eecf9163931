"""Which stretch of a talk belongs to which puzzle: captions, and scripts whose positions stand in another file.

A speaker gives no headings. A puzzle begins where its position is shown, or where the
speaker calls it: by title, by number, or as the next one.
"""

import re
from bisect import bisect_right
from collections.abc import Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from .calls import Call, Names
from .document import Block, Diagram, Document, PuzzleText, TextFault
from .positions import find_diagrams
from .scan import read_span
from .sections import Sections
from .spans import Span
from .statements import Turn
from .titles import printed_number
from .told_men import find_told
from .words import SPOKEN_SQUARE

_STIPULATION = re.compile(r"\b(?:white|black)\s+to\s+(?:move|play|mate)\b|\bmates?\s+in\s+\w", re.I)
_LEAD_IN_LINES = 3
_LABEL = re.compile(r"^\W*(?:the\s+)?(?:fen|position|diagram|board)\b\W*|\W*\b(?:fen|position)\W*$", re.I)
_SENTENCE_END = re.compile(r"[.!?]\s+")
_SQUARES_OF_PLAY = 3
_LISTED = 4  # names in a message


class Position(Struct, frozen=True):
    """A position that a talk may speak of. `asked` is its stipulation, "" for none."""

    title: str
    diagram: Diagram
    asked: str


# -- positions that are shown in the talk itself ----------------------------------


def with_puzzles(document: Document) -> Document:
    """Return captions with the puzzles whose positions they show, in a comment or in a cue of its own.

    What is shown at the foot, when all has been played, belongs to the puzzle that has told these men, or else to
    the talk before the first position, where one is left for that.
    """
    shown = list(_shown(document))
    parts = _above_foot(document.masked, shown)
    foot = [diagrams for _, diagrams in shown[len(parts) :]]
    bare = [diagrams for diagrams in foot if not _add_to(parts, diagrams)]
    opening = Span(0, parts[0][0] if parts else shown[len(parts)][0] if foot else 0)
    if len(bare) > 1 or (bare and not SPOKEN_SQUARE.search(document.masked, *opening)):
        parts, foot, bare = shown, [], []
    if not parts and not bare:
        loose = tuple(_prose(document, Span(0, len(document.text)), ()))
        return replace(document, puzzles=(), loose=loose)
    spoken = Span(0, shown[len(shown) - len(foot)][0] if foot else len(document.text))
    parts = [*((0, diagrams) for diagrams in bare), *parts]
    ends = [*(start for start, _ in parts[1:]), spoken.end]
    puzzles: list[PuzzleText] = []
    for (start, diagrams), end in zip(parts, ends, strict=True):
        stretch = Span(start, end)
        prose = tuple(_prose(document, stretch, diagrams))
        whole = [*prose, *(diagram.span for diagram in diagrams if diagram.span.start < spoken.end)]
        title = _title(document, start, diagrams[0], Names([], []))
        span = Span(min(part.start for part in whole), max(part.end for part in whole))
        puzzles.append(PuzzleText(title, span, tuple(diagrams), prose, spoken=True))
    below = _prose(document, Span(spoken.end, len(document.text)), [each for group in foot for each in group])
    loose = (*_prose(document, Span(0, parts[0][0]), ()), *below)
    return replace(document, puzzles=tuple(puzzles), loose=loose)


def _above_foot(masked: str, shown: Sequence[tuple[int, list[Diagram]]]) -> list[tuple[int, list[Diagram]]]:
    """Return the positions below which squares are named; those at the foot have none, and play above them."""
    count = len(shown)
    while count and not _squares_below(masked, [each for _, group in shown[count - 1 :] for each in group]):
        count -= 1
    before = shown[count][1][0].span.start if count < len(shown) else 0
    above = [each.span for _, group in shown[:count] for each in group]
    squares = (square.start() for square in SPOKEN_SQUARE.finditer(masked, 0, before))
    named = sum(not any(span.start <= square < span.end for span in above) for square in squares)
    return list(shown[:count]) if named >= _SQUARES_OF_PLAY else list(shown)


def _squares_below(masked: str, diagrams: Sequence[Diagram]) -> bool:
    """Tell whether a text names squares behind the first of some positions, and not in them."""
    ends = [*(diagram.span.start for diagram in diagrams[1:]), len(masked)]
    return any(SPOKEN_SQUARE.search(masked, diagram.span.end, end) for diagram, end in zip(diagrams, ends, strict=True))


def _add_to(parts: Sequence[tuple[int, list[Diagram]]], diagrams: Sequence[Diagram]) -> bool:
    """Add a position to the puzzle that has the same men, if there is one; tell whether there is."""
    for _, known in parts:
        if any(each.pieces == other.pieces for each in diagrams for other in known):
            known += diagrams
            return True
    return False


def _shown(document: Document) -> Iterator[tuple[int, list[Diagram]]]:
    """Yield where each puzzle begins, and its position in all the ways it is shown."""
    names = Names([], [])
    current: tuple[int, list[Diagram]] | None = None
    for diagram in _found(document):
        if current is not None and _again(document.masked, current[1], diagram):
            current[1].append(diagram)
            continue
        if current is not None:
            yield current
        after = 0 if current is None else current[1][-1].span.end
        current = _start(document, diagram, after, names), [diagram]
    if current is not None:
        yield current


def _found(document: Document) -> list[Diagram]:
    """Return the positions of a talk in order, with those told in words before they are shown."""
    shown = find_diagrams(document)
    told = [
        words
        for words in find_told(document.masked)
        if words not in shown and any(words.span.end <= d.span.start and words.pieces == d.pieces for d in shown)
    ]
    free = [t for t in told if all(t.span.end <= d.span.start or d.span.end <= t.span.start for d in shown)]
    return sorted([*shown, *free], key=lambda diagram: diagram.span)


def _again(masked: str, known: Sequence[Diagram], diagram: Diagram) -> bool:
    """Tell whether a position is one just shown: the same men, or another notation right beside it."""
    beside = not masked[known[-1].span.end : diagram.span.start].strip(" \t\r\n:;,.-")
    return any(diagram.pieces == other.pieces for other in known) or (beside and diagram.kind != known[-1].kind)


def _start(document: Document, diagram: Diagram, after: int, names: Names) -> int:
    """Return where the puzzle of a position begins: at its cue or comment, or at the words that lead to it."""
    masked = document.masked
    block = next((block for block in document.blocks if block.span.start <= diagram.span.start < block.span.end), None)
    first = max(after, _line_start(masked, diagram.span.start))
    near = block is not None and masked.count("\n", block.span.start, diagram.span.start) <= _LEAD_IN_LINES
    if block is not None and near and block.span.start >= after:
        first = min(first, block.span.start)
    start = first
    for _ in range(_LEAD_IN_LINES):
        line = Span(max(after, _line_start(masked, len(masked[:first].rstrip()))), first)
        if not line.of(masked).strip() or _plays(masked, line):
            break
        if next(names.calls(masked, line), None):
            return line.start
        if _STIPULATION.search(line.of(masked)):
            start = line.start
        first = line.start
    return start


def _title(document: Document, start: int, diagram: Diagram, names: Names) -> str:
    """Return what the speaker calls the puzzle before its position, or what a comment with a position says first."""
    call = next(names.calls(document.masked, Span(start, diagram.span.start)), None)
    for block in document.blocks:
        inside = block.span.start <= diagram.span.start < block.span.end
        if inside and re.search(r"NOTE\s*$", document.text[max(0, block.span.start - 10) : block.span.start]):
            words = _LABEL.sub("", Span(block.span.start, diagram.span.start).of(document.masked)).strip()
            if words and "\n" not in words and not _STIPULATION.search(words):
                return words
    return "" if call is None or call.kind == "next" else call.span.of(document.masked)


# -- positions of another file ---------------------------------------------------------


def borrowing(document: Document, positions: Sequence[Position], source: str) -> tuple[Sections, list[TextFault]]:
    """Part a talk that shows no positions among those of another file, called `source` in messages.

    Also return what could not be matched: puzzles of the talk without a position, positions nobody speaks of.
    """
    return _Borrowing(document, positions, source).parted()


class _Part(Struct, frozen=True):
    """A stretch of a talk: on one position, on one that is not there (None), or on none at all ("loose")."""

    start: int
    target: int | None
    call: Span
    loose: bool = False


class _Borrowing:
    def __init__(self, document: Document, positions: Sequence[Position], source: str) -> None:
        self.document = document
        self.masked = document.masked
        self.positions = positions
        self.source = source
        self.names = Names([each.title for each in positions], [printed_number(each.title) for each in positions])
        self.used: list[int] = []
        self.plays = [
            turn.span
            for block in document.blocks
            for turn in _moves(self.masked, block.span)
            if block.kind != "heading"
        ]

    def parted(self) -> tuple[Sections, list[TextFault]]:
        parts = self._by_headings() or self._by_calls()
        ends = [*(part.start for part in parts), len(self.masked)]
        loose = [Span(0, ends[0])]
        puzzles: list[PuzzleText] = []
        faults: list[TextFault] = []
        for part, end in zip(parts, ends[1:], strict=True):
            stretch = Span(part.start, end)
            if part.loose or not any(True for _ in _prose(self.document, stretch, ())):
                loose.append(stretch)
                continue
            if part.target is None:
                faults.append(TextFault(part.call, f"{self.source} has no position for the puzzle that begins here"))
            puzzles.append(self._puzzle(part, stretch))
        headings = [block.span for block in self.document.blocks if block.kind == "heading"]
        kept = [span for each in loose for span in _prose(self.document, each, ())]
        shared = [span for span in headings if any(each.start <= span.start < each.end for each in loose)]
        faults += self._left_over()
        return Sections(tuple(puzzles), tuple(kept), tuple(shared)), faults

    def _puzzle(self, part: _Part, stretch: Span) -> PuzzleText:
        prose = tuple(_prose(self.document, stretch, ()))
        headings = tuple(b.span for b in self.document.blocks if b.kind == "heading" and _inside(b.span, stretch))
        spans = [*prose, *headings]
        span = Span(min(each.start for each in spans), max(each.end for each in spans))
        title, asked, diagrams = part.call.of(self.masked), "", ()  # type: tuple[str, str, tuple[Diagram, ...]]
        if part.target is not None:
            position = self.positions[part.target]
            title, asked = position.title, position.asked
            faults = tuple(TextFault(part.call, fault.message) for fault in position.diagram.faults)
            # What is wrong with the position is shown at the words that call it.
            diagrams = (replace(position.diagram, span=part.call, piece_spans={}, castling_span=None, faults=faults),)
        return PuzzleText(" ".join(title.split()), span, diagrams, prose, headings, asked=asked, spoken=True)

    def _left_over(self) -> Iterator[TextFault]:
        left = [index for index in range(len(self.positions)) if index not in self.used]
        if left:
            names = [self.positions[index].title or f"number {index + 1}" for index in left]
            listed = ", ".join(names[:_LISTED]) + (f" and {len(names) - _LISTED} more" if len(names) > _LISTED else "")
            what = "a position" if len(left) == 1 else f"{len(left)} positions"
            yield TextFault(Span(0, 0), f"{self.source} has {what} that nothing here was matched with: {listed}")

    # -- a script with headings

    def _by_headings(self) -> list[_Part]:
        """Part a script at headings that name a position, or that are as many as there are positions."""
        headings = [block for block in self.document.blocks if block.kind == "heading"]
        named = {block: self.names.of_heading(block.span.of(self.masked)) for block in headings}
        levels = {block.level for block, target in named.items() if target is not None}
        if not levels:
            played = [block for block in headings if self._played(block, headings)]
            if not headings or len(played) != len(self.positions):
                return []
            named = {block: played.index(block) if block in played else None for block in headings}
            levels = {block.level for block in played}
        parts = []
        for block, target in named.items():
            if target is None and block.level not in levels:
                continue
            if target is None or target in self.used:
                missing = self._played(block, headings)
                parts.append(_Part(block.span.start, None, block.span, loose=not missing))
            else:
                parts.append(_Part(block.span.start, target, block.span))
                self.used.append(target)
        return parts

    def _played(self, heading: Block, headings: Sequence[Block]) -> bool:
        """Tell whether moves stand between a heading and the next one."""
        after = [block.span.start for block in headings if block.span.start > heading.span.start]
        end = min(after, default=len(self.masked))
        return any(heading.span.end <= span.start < end for span in self.plays)

    # -- a talk without

    def _by_calls(self) -> list[_Part]:
        groups = self._groups()
        named = {call.target for group in groups for call in group if call.target is not None}
        parts: list[_Part] = []
        opens = not groups or (self.plays and self.plays[0].start < groups[0][0].span.start)
        if opens and self.document.blocks:
            opening = self.document.blocks[0].span
            free = [index for index in range(len(self.positions)) if index not in named]
            word = re.compile(r"\S*").match(self.masked, opening.start)
            parts.append(self._part(opening.start, free[0] if free else None, Span(*word.span()) if word else opening))
        for group in groups:
            resolved = self._resolve(group)
            if resolved is not None:
                target, call = resolved
                parts.append(self._part(self._opening(group[0].span.start), target, call.span))
        return parts

    def _part(self, start: int, target: int | None, call: Span) -> _Part:
        if target is not None:
            self.used.append(target)
        return _Part(start, target, call)

    def _groups(self) -> list[list[Call]]:
        """Return the calls, those together between which no move is played."""
        groups: list[list[Call]] = []
        for call in (call for block in self.document.blocks for call in self.names.calls(self.masked, block.span)):
            last = groups[-1][-1].span.end if groups else None
            if last is not None and not self._plays_between(last, call.span.start):
                groups[-1].append(call)
            else:
                groups.append([call])
        return groups

    def _plays_between(self, start: int, end: int) -> bool:
        """Tell whether moves are told in a stretch, or so many squares that they must be."""
        if any(start <= span.start < end for span in self.plays):
            return True
        return sum(1 for _ in SPOKEN_SQUARE.finditer(self.masked, start, end)) >= _SQUARES_OF_PLAY

    def _resolve(self, group: Sequence[Call]) -> tuple[int | None, Call] | None:
        """Return which position these calls mean (None: one that is not there) and the call that says so; None: none.

        A title goes before a number, and both before the order.
        """
        for kind in ("title", "number"):
            fresh = [call for call in group if call.kind == kind and call.target is not None]
            fresh = [call for call in fresh if call.target not in self.used]
            targets = {call.target for call in fresh}
            if len(targets) == 1 or (targets and len(fresh) > len(targets)):
                return fresh[-1].target, fresh[-1]
            if targets:  # a list of what is to come
                return min(target for target in targets if target is not None), fresh[0]
        for call in group:
            if call.kind == "number" and call.target is None:
                return None, call
        if any(call.target is not None for call in group):
            return None  # it speaks of what it has, or had, before it
        call = group[0]
        if call.kind == "last":
            return len(self.positions) - 1 if len(self.positions) - 1 not in self.used else None, call
        current = self.used[-1] if self.used else -1
        order = [*range(current + 1, len(self.positions)), *range(current + 1)]
        return next((index for index in order if index not in self.used), None), call

    def _opening(self, call: int) -> int:
        """Return where the line or the sentence begins in which a puzzle is called, after the last move before it."""
        start = _line_start(self.masked, call)
        for end in _SENTENCE_END.finditer(self.masked, start, call):
            start = end.end()
        played = bisect_right(self.plays, call, key=lambda span: span.start)
        return max(start, self.plays[played - 1].end) if played else start


# -- both ----------------------------------------------------------------------------------


def _prose(document: Document, stretch: Span, diagrams: Sequence[Diagram]) -> Iterator[Span]:
    """Yield what stands in a stretch beside its headings and diagrams, one span a block at most between two of them."""
    for block in document.blocks:
        if block.kind == "heading" or not (block.span.start < stretch.end and stretch.start < block.span.end):
            continue
        place, end = max(block.span.start, stretch.start), min(block.span.end, stretch.end)
        for diagram in sorted(diagrams, key=lambda each: each.span):
            if place <= diagram.span.start < end:
                yield from _inked(document.masked, Span(place, diagram.span.start))
                place = diagram.span.end
        yield from _inked(document.masked, Span(place, end))


def _inked(text: str, span: Span) -> Iterator[Span]:
    words = span.of(text)
    if words.strip():
        start = span.start + len(words) - len(words.lstrip())
        yield Span(start, span.start + len(words.rstrip()))


def _moves(text: str, span: Span) -> Iterator[Turn]:
    """Yield the half-moves that a stretch speaks of, without bare names of squares and of men."""
    for statement in read_span(text, span, "en"):
        if isinstance(statement, Turn) and not statement.bare_square and any(each.exact for each in statement.choices):
            yield statement


def _plays(text: str, span: Span) -> bool:
    return next(_moves(text, span), None) is not None


def _line_start(text: str, place: int) -> int:
    return max(text.rfind("\n", 0, place), text.rfind("\r", 0, place)) + 1


def _inside(inner: Span, outer: Span) -> bool:
    return outer.start <= inner.start and inner.end <= outer.end
