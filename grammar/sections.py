"""Which stretch of a document belongs to which puzzle.

A puzzle begins at a heading that has a position below it, or at a position that comes
after the solution of the one before. Positions under one heading before any solution
text are one puzzle printed in several ways. A part of solutions at the end is dealt out
by number or title. Twins on one diagram are puzzles of their own in the end.
"""

import re
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import takewhile

import chess

from .document import Block, Diagram, Document, PuzzleText
from .positions import find_diagrams
from .spans import Span, lines_of
from .traces import NUMBERED_MOVE, PRINTED_MOVE
from .twins import twins


@dataclass(frozen=True)
class Sections:
    """The puzzles of a document and what belongs to none of them.

    `loose` is prose before the first puzzle, under headings without a position, or
    answering a puzzle that is not in the document; `headings` are the headings over it.
    """

    puzzles: tuple[PuzzleText, ...]
    loose: tuple[Span, ...]
    headings: tuple[Span, ...]


_NOUN = r"(?:no|nr|problem|puzzle|diagram|position|study|aufgabe|problème|problema|opgave|zadanie|задача)\b\.?"
_ANSWER = r"(?:solutions?|answers?|keys?|lösung(?:en)?|oplossing(?:en)?|soluci[oó]n(?:es)?|soluzion[ei])"
_MANY_ANSWERS = r"(?:solutions|answers|lösungen|oplossingen|soluciones|soluzioni)"
_TO = r"(?:to|of|for|from|zu|von|du|de|van|del)\b"
_COUNT = rf"(?:{_NOUN}\s*)?(?:(?:no|nr)\b\.?\s*)?#?\s?(\d+)(?!\w)[ \t]*[:.)–—-]?"

_NUMBER_IN_TITLE = re.compile(rf"\b{_NOUN}\s*(?:(?:no|nr)\b\.?\s*)?#?\s?(\d+)|^\W*(\d+)(?=\W|$)", re.I)
_PART = re.compile(
    rf"\W*(?:the\s+|full\s+)*(?:{_ANSWER}(?:\s+(?:and|with)\s+\w+)?|position|diagram|board|stellung|set\s*-?\s*play"
    r"|(?:(?:actual|post-key|virtual)\s+)?play|tr(?:y|ies)|variations?|threats?|defen[cs]es?|themes?|comments?|notes?"
    r"|remarks?|hints?)\W*",
    re.I,
)
_ANSWERS = re.compile(
    rf"\W*(?:the\s+)?{_ANSWER}(?:\W*|\s+(?:{_TO}|{_NOUN}).*|\s*#?\d.*|\s*[:–—-]\s.*)|\W*(?:last|previous)\s.*{_ANSWER}\W*",
    re.I,
)
_OF_ANOTHER_ISSUE = re.compile(
    rf"\W*(?:{_ANSWER}\s+{_TO}\s+(?:the\s+)?(?:last|previous|earlier)\b|(?:last|previous)\s+[\w'’]+\s+(?:\w+\s+)?{_ANSWER}\b)",
    re.I,
)
_ANSWER_TO = re.compile(rf"{_ANSWER}\s+(?:{_TO}\s+(?:the\s+)?|(?={_NOUN})){_COUNT}", re.I)
_LABEL_WITH_WORD = re.compile(rf"(?:{_ANSWER}\s+(?:{_TO}\s+(?:the\s+)?)?|(?={_NOUN})){_COUNT}", re.I)
_ONE_OF_SEVERAL = re.compile(rf"\W*{_ANSWER}\s+#?\s?\d", re.I)  # "Solution 2": of the puzzle, or of the second puzzle
_HEADING_NUMBER = re.compile(r"\W*(\d+)(?:\W*$|[.:)]\s)")
_LABEL_OF_LINE = re.compile(r"(\d{1,4})[ \t]*[.):](?=\s)")
_LIST_MARKER = re.compile(r"(\d{1,4})[.)][ \t]+$")
_DIVIDER = re.compile(r"\s*([-=_*~#+.·•])(?:\s*\1){2,}\s*")
_KEY_WORD = re.compile(rf"\b(?:{_ANSWER}|try)\b\s*[:–—-]?\s*(?={PRINTED_MOVE.pattern})", re.I)
_STIPULATION = re.compile(
    r"(?<!\w)[a-z-]{0,5}#\s?\d|mates?\s+in\b|\b(?:white|black)\s+to\s+(?:move|play)\b|\bmatt\s+in\b|:\W*$", re.I
)
_LEAD_IN_BLOCKS = 4  # a number, a composer, a source and a stipulation


@dataclass(frozen=True)
class _Element:
    """A heading, a stretch of prose or a diagram, in the order of the document."""

    span: Span
    block: Block | None = None
    diagram: Diagram | None = None
    after_divider: bool = False

    @property
    def heading(self) -> bool:
        return self.block is not None and self.block.kind == "heading"


@dataclass
class _Puzzle:
    title: str
    level: int  # of the heading that gives the title, 0 if there is none
    ordinal: int  # from 1
    own: list[_Element]
    diagrams: list[Diagram] = field(default_factory=list)
    answers: list[Span] = field(default_factory=list)  # prose printed elsewhere
    labels: list[Span] = field(default_factory=list)
    answered: bool = False  # solution text has been seen


@dataclass
class _Answers:
    """A stretch that may answer several puzzles: each element is dealt out when all puzzles are known."""

    default: _Puzzle | None
    level: int  # of the heading over it, 0 if there is none
    puzzles_above: int
    of_another_issue: bool
    elements: list[_Element] = field(default_factory=list)


def puzzle_texts(document: Document) -> Sections:
    """Part a document into puzzles. Every character that is not blank in `masked` gets exactly one owner."""
    if document.puzzles is not None:
        return Sections(document.puzzles, document.loose, ())
    return _Parting(document).sections()


class _Parting:
    def __init__(self, document: Document) -> None:
        self.document = document
        self.masked = document.masked
        self.elements = _elements(document, find_diagrams(document))
        self.puzzles: list[_Puzzle] = []
        self.loose: list[_Element] = []
        self.stretches: list[_Answers] = []
        self.current: _Puzzle | None = None
        self.answers: _Answers | None = None
        self.last_owner: list[_Element] = self.loose
        self.by_pieces: dict[frozenset[tuple[chess.Square, str]], _Puzzle] = {}
        self.by_number: dict[int, _Puzzle] = {}
        self.by_title: dict[str, _Puzzle] = {}
        self.numbers_printed = False

    def sections(self) -> Sections:
        for index, element in enumerate(self.elements):
            if element.heading:
                self._take_heading(index, element)
            elif element.diagram is not None:
                self._take_diagram(element, element.diagram)
            else:
                self._take_prose(element)
        self._number_puzzles()
        for stretch in self.stretches:
            self._deal_out(stretch)
        return Sections(
            tuple(twin for puzzle in self.puzzles for twin in twins(self.masked, self._finished(puzzle))),
            tuple(sorted(element.span for element in self.loose if not element.heading)),
            tuple(sorted(element.span for element in self.loose if element.heading)),
        )

    # -- one element after the other

    def _own(self, element: _Element, owner: list[_Element]) -> None:
        owner.append(element)
        self.last_owner = owner

    def _text(self, element: _Element) -> str:
        return element.span.of(self.masked)

    def _take_heading(self, index: int, heading: _Element) -> None:
        text = self._text(heading)
        level = heading.block.level if heading.block else 0
        if self._opens_puzzle(index):
            self._begin(" ".join(text.split()), level, [heading])
        elif NUMBERED_MOVE.search(text):  # "Try: 1.Qa1?" over the words on it is play
            self._take_prose(replace(heading, block=None))
        elif self._is_answer_heading(text):
            answers = self._begin_answers(self._default_target(text, level), level, text)
            self._own(heading, answers.elements)
        elif self.answers is not None:
            self._own(heading, self.answers.elements)
        elif self.current is not None and (_PART.fullmatch(text) or self._stays_inside(index, level)):
            self._own(heading, self.current.own)
        else:
            self.current = None
            self._own(heading, self.loose)

    def _is_answer_heading(self, text: str) -> bool:
        return bool(_ANSWERS.fullmatch(text)) and (bool(self.puzzles) or bool(_ANSWER_TO.match(text.lstrip())))

    def _default_target(self, text: str, level: int) -> _Puzzle | None:
        """Return the puzzle that a part of solutions belongs to unless a number or title says otherwise."""
        if self.current is None or not (_PART.fullmatch(text) or _ONE_OF_SEVERAL.match(text)):
            return None
        if level > self.current.level > 0:
            return self.current
        for_all = re.search(_MANY_ANSWERS, text, re.I) or _ONE_OF_SEVERAL.match(text)
        return None if for_all or any(not puzzle.answered for puzzle in self.puzzles[:-1]) else self.current

    def _begin_answers(self, default: _Puzzle | None, level: int, opening: str) -> _Answers:
        self.answers = _Answers(default, level, len(self.puzzles), bool(_OF_ANOTHER_ISSUE.match(opening)))
        self.stretches.append(self.answers)
        return self.answers

    def _opens_puzzle(self, index: int) -> bool:
        """Whether a position stands below this heading before another heading that is not the name of a part."""
        text = self._text(self.elements[index])
        if _PART.fullmatch(text):
            return False
        for element in self.elements[index + 1 :]:
            if element.diagram is not None:
                known = self._known(element.diagram)
                return self.answers is None or known is None or not self._names(text, known)
            if element.heading and not _PART.fullmatch(self._text(element)):
                return False
        return False

    def _stays_inside(self, index: int, level: int) -> bool:
        assert self.current is not None
        if level > self.current.level > 0:
            return True
        if self.current.answered:
            return False
        below = takewhile(lambda element: not element.heading, self.elements[index + 1 :])
        return any(NUMBERED_MOVE.search(self._text(element)) for element in below)

    def _begin(self, title: str, level: int, own: list[_Element]) -> None:
        self.current = _Puzzle(title, level, len(self.puzzles) + 1, own)
        self.answers = None
        self.puzzles.append(self.current)
        self.last_owner = self.current.own

    def _take_diagram(self, element: _Element, diagram: Diagram) -> None:
        known = self._known(diagram)
        if self.answers is not None and known is not None:
            self._begin_answers(known, self.answers.level, "")
            known.diagrams.append(diagram)
            return
        if self.answers is not None or self.current is None or not self._continues(self.current, diagram):
            lead_in = self._lead_in(element)
            inherits = self.current is not None and self.answers is None
            title, level = (self.current.title, self.current.level) if self.current and inherits else ("", 0)
            if lead_in and (label := _LABEL_WITH_WORD.match(self._text(lead_in[0]))):
                title = label[0].rstrip(" \t:.)–—-")
            self._begin(title, level, lead_in)
        assert self.current is not None
        self.current.diagrams.append(diagram)
        if not diagram.faults:
            self.by_pieces.setdefault(_men(diagram), self.current)
        self._own(element, self.current.own)

    def _known(self, diagram: Diagram) -> _Puzzle | None:
        """Return the puzzle that has printed just these men before."""
        return None if diagram.faults else self.by_pieces.get(_men(diagram))

    def _names(self, text: str, puzzle: _Puzzle) -> bool:
        """Whether a heading among the solutions names this puzzle by title or number."""
        if label := _LABEL_WITH_WORD.match(text) or _HEADING_NUMBER.match(text):
            number = printed_number(puzzle.title)
            return int(label[1]) == (puzzle.ordinal if number is None else number)
        return _untitled(text) in (plain(puzzle.title), plain(unnumbered(puzzle.title)))

    @staticmethod
    def _continues(puzzle: _Puzzle, diagram: Diagram) -> bool:
        """Whether a diagram shows the puzzle's position once more, if perhaps with a misprint."""
        if not puzzle.diagrams:
            return True
        for printed in puzzle.diagrams:
            if printed.faults or diagram.faults:
                if printed.kind == diagram.kind:
                    return False
                continue
            if printed.pieces == diagram.pieces:
                return True
            shared = sum(diagram.pieces.get(square) == piece for square, piece in printed.pieces.items())
            if printed.kind == diagram.kind or 2 * shared < max(len(printed.pieces), len(diagram.pieces)):
                return False
        return not puzzle.answered

    def _lead_in(self, diagram: _Element) -> list[_Element]:
        """Take from the last owner the prose that introduces a position without a heading of its own."""
        if diagram.after_divider:
            return []
        taken = 0
        for count in range(1, min(_LEAD_IN_BLOCKS, len(self.last_owner)) + 1):
            element = self.last_owner[-count]
            text = self._text(element)
            if element.diagram is not None or element.heading or NUMBERED_MOVE.search(text) or _KEY_WORD.search(text):
                break
            inside = element.block is not None and element.block.span.end > diagram.span.start
            opens = inside or _STIPULATION.search(text) or _LABEL_WITH_WORD.match(text)
            if opens or element.after_divider:
                taken = count
            if element.after_divider:
                break
        lead_in = self.last_owner[len(self.last_owner) - taken :]
        del self.last_owner[len(self.last_owner) - taken :]
        return lead_in

    def _take_prose(self, element: _Element) -> None:
        text = self._text(element)
        if _OF_ANOTHER_ISSUE.match(text) or (self.answers is None and _ANSWER_TO.match(text)):
            self._begin_answers(None, 0, text)
        puzzle = self.current if self.answers is None else self.answers.default
        if puzzle is not None:
            puzzle.answered |= bool(NUMBERED_MOVE.search(text) or _KEY_WORD.search(text))
        if self.answers is not None:
            self._own(element, self.answers.elements)
        else:
            self._own(element, self.current.own if self.current is not None else self.loose)

    # -- solutions by number or title

    def _number_puzzles(self) -> None:
        numbers = [printed_number(puzzle.title) for puzzle in self.puzzles]
        self.numbers_printed = any(number is not None for number in numbers)
        if not self.numbers_printed:
            numbers = [puzzle.ordinal for puzzle in self.puzzles]
        for number, puzzle in zip(numbers, self.puzzles, strict=True):
            if number is not None:
                self.by_number.setdefault(number, puzzle)
            for title in plain(puzzle.title), plain(unnumbered(puzzle.title)):
                if title:
                    self.by_title.setdefault(title, puzzle)

    def _numbered(self, number: int, stretch: _Answers) -> _Puzzle | None:
        if stretch.of_another_issue and not self.numbers_printed:
            return None
        return self.by_number.get(number)

    def _deal_out(self, stretch: _Answers) -> None:
        default = stretch.default
        only_one = len(self.puzzles) == 1 or stretch.puzzles_above == 1
        if default is None and only_one and not stretch.of_another_issue:
            default = self.puzzles[0]
        target: _Puzzle | None = default
        bare = stretch.default is None and self._bare_labels(stretch)
        for element in stretch.elements:
            if element.heading:
                target = self._heading_target(element, stretch, default)
                if target is not None:
                    target.labels.append(element.span)
                else:
                    self.loose.append(element)
                continue
            for label, number, prose in self._answers_in(element, stretch, bare):
                if number is not None:
                    target = self._numbered(number, stretch)
                if target is None:
                    self.loose += [_Element(span) for span in (label, prose) if span is not None]
                    continue
                if label is not None:
                    target.labels.append(label)
                if prose is not None:
                    target.answers.append(prose)

    def _heading_target(self, heading: _Element, stretch: _Answers, default: _Puzzle | None) -> _Puzzle | None:
        text = self._text(heading).strip()
        if titled := self.by_title.get(_untitled(text)):
            return titled
        one_of_several = _ONE_OF_SEVERAL.match(text)
        counts_puzzles = not one_of_several or (stretch.default is None and len(self.puzzles) > 1)
        if counts_puzzles and (label := _LABEL_WITH_WORD.match(text) or _HEADING_NUMBER.match(text)):
            return self._numbered(int(label[1]), stretch)
        level = heading.block.level if heading.block else 0
        return default if level > stretch.level or one_of_several or _PART.fullmatch(text) else None

    def _bare_labels(self, stretch: _Answers) -> bool:
        """Whether lines such as "1. Qb1!" and "2. Sf4!" number the puzzles and not the moves.

        They do if there is one such line for each puzzle, with one numbered move each.
        """
        seen: list[int] = []
        for element in stretch.elements:
            if element.heading:
                continue
            for line in self._text(element).splitlines():
                numbered = NUMBERED_MOVE.match(line.strip())
                if numbered is None or len(NUMBERED_MOVE.findall(line)) != 1:
                    return False
                seen.append(int(re.match(r"\d+", numbered[0])[0]))  # type: ignore[index]
        return len(seen) > 1 and sorted(seen) == sorted(self.by_number)

    def _answers_in(
        self, element: _Element, stretch: _Answers, bare: bool
    ) -> Iterator[tuple[Span | None, int | None, Span | None]]:
        """Part the prose of an element at its labels: (label, number, prose), with None for what is not there."""
        text, start = self._text(element), element.span.start
        cuts: list[tuple[int, int, int]] = []  # where the label starts and ends, and its number
        line_start = max(self.document.text.rfind("\n", 0, start), self.document.text.rfind("\r", 0, start)) + 1
        marker = _LIST_MARKER.search(self.document.text, line_start, start)
        by_count = stretch.default is None  # else a number counts the variations of one puzzle
        hidden = by_count and not self.masked[line_start:start].strip()
        if marker and hidden and self._numbered(int(marker[1]), stretch):
            cuts.append((0, 0, int(marker[1])))
        for place in _places(text):
            label = _LABEL_WITH_WORD.match(text, place)
            if label is not None and _ONE_OF_SEVERAL.match(label[0]) and (not by_count or _is_play(text, label)):
                label = None
            if label is None and by_count:
                label = self._line_label(text, place, stretch, bare)
            if label is not None and (not cuts or place >= cuts[-1][1]):
                cuts.append((place, label.end(), int(label[1])))
        if not cuts or cuts[0][0] > 0:
            yield None, None, self._trimmed(start, start + (cuts[0][0] if cuts else len(text)))
        for index, (label_start, label_end, number) in enumerate(cuts):
            end = cuts[index + 1][0] if index + 1 < len(cuts) else len(text)
            yield (
                self._trimmed(start + label_start, start + label_end),
                number,
                self._trimmed(start + label_end, start + end),
            )

    def _line_label(self, text: str, place: int, stretch: _Answers, bare: bool) -> re.Match[str] | None:
        label = _LABEL_OF_LINE.match(text, place)
        if label is None or (place > 0 and text[place - 1] not in "\r\n"):
            return None
        if self._numbered(int(label[1]), stretch) is None:
            return None
        after = text[label.end() :].lstrip()
        return label if bare or not PRINTED_MOVE.match(after) else None

    def _trimmed(self, start: int, end: int) -> Span | None:
        return _trim(self.masked, start, end)

    def _finished(self, puzzle: _Puzzle) -> PuzzleText:
        own = [element for element in puzzle.own if element.diagram is None]
        prose = [element.span for element in own if not element.heading] + puzzle.answers
        headings = [element.span for element in own if element.heading] + puzzle.labels
        return PuzzleText(
            title=puzzle.title,
            span=puzzle.own[0].span.to(puzzle.own[-1].span),
            diagrams=tuple(sorted(puzzle.diagrams, key=lambda diagram: diagram.span)),
            prose=tuple(sorted(prose)),
            headings=tuple(sorted(headings)),
        )


def _men(diagram: Diagram) -> frozenset[tuple[chess.Square, str]]:
    return frozenset((square, piece.symbol()) for square, piece in diagram.pieces.items())


def printed_number(title: str) -> int | None:
    """Return the number in a puzzle's title: "No. 7", "12. The Lighthouse"."""
    found = _NUMBER_IN_TITLE.search(title)
    return int(found[1] or found[2]) if found else None


def plain(title: str) -> str:
    """Return the words of a title in small letters, without what stands between them."""
    return " ".join(re.findall(r"\w+", title.casefold()))


def _untitled(heading: str) -> str:
    """Return what is left of "Solution to The Lighthouse" when the words before the title are taken off."""
    return plain(re.sub(rf"^\W*(?:the\s+)?{_ANSWER}\b\s*(?:{_TO})?", "", heading, flags=re.I))


def unnumbered(title: str) -> str:
    """Return a title without the number before it: "The Lighthouse" of "No. 7: The Lighthouse"."""
    return re.sub(rf"^\W*(?:{_NOUN}\s*)?(?:(?:no|nr)\b\.?\s*)?#?\d+\W*", "", title, flags=re.I) or title


def _is_play(text: str, label: re.Match[str]) -> bool:
    """Whether the number of a label is a move number after all, as in "Solution 1.Sf4!"."""
    return NUMBERED_MOVE.match(text, label.start(1)) is not None


def _places(text: str) -> list[int]:
    """Return where a label may stand: at the start, after a line end, after the end of a sentence."""
    return [0, *(m.end() for m in re.finditer(r"[\r\n]+\s*|[.!?;:)#]\s+", text))]


def _trim(text: str, start: int, end: int) -> Span | None:
    inked = text[start:end]
    lead = len(inked) - len(inked.lstrip())
    return Span(start + lead, start + len(inked.rstrip())) if inked.strip() else None


def _elements(document: Document, diagrams: Sequence[Diagram]) -> list[_Element]:
    """Cut the blocks at the diagrams; what is left of each block is one or more elements."""
    dividers = _dividers(document)
    cut: list[tuple[Span, Block | None, Diagram | None]] = [(d.span, None, d) for d in diagrams]
    starts = [d.span.start for d in diagrams]
    for block in document.blocks:
        place = block.span.start
        first = max(bisect_right(starts, place) - 1, 0)
        for diagram in diagrams[first:]:
            if diagram.span.start >= block.span.end:
                break
            if diagram.span.end <= place:
                continue
            cut += [(left, block, None) for left in _before_diagram(document.masked, place, diagram.span.start)]
            place = diagram.span.end
        if place < block.span.end and (left := _trim(document.masked, place, block.span.end)):
            cut.append((left, block, None))
    cut.sort(key=lambda item: item[0])
    elements = []
    before: int | None = None  # no divider counts above the first element or right under a heading
    for span, owner, shown in cut:
        divided = before is not None and bisect_right(dividers, span.start) > bisect_right(dividers, before)
        elements.append(_Element(span, owner, shown, divided))
        before = None if elements[-1].heading else span.start
    return elements


def _before_diagram(text: str, start: int, end: int) -> Iterator[Span]:
    """Yield the prose from `start` to a diagram at `end`, its last line apart if a solution stands above that line."""
    line = max(text.rfind("\n", start, max(start, end)), text.rfind("\r", start, max(start, end))) + 1
    if NUMBERED_MOVE.search(text, start, max(line, start)) and not NUMBERED_MOVE.search(text, line, end):
        parts = [(start, line), (line, end)]
    else:
        parts = [(start, max(start, end))]
    for part in parts:
        if left := _trim(text, *part):
            yield left


def _dividers(document: Document) -> list[int]:
    """Return where lines such as "* * *" stand that a reader has masked."""
    return [
        line.start
        for line in lines_of(document.text).spans
        if not line.of(document.masked).strip() and _DIVIDER.fullmatch(document.text, *line)
    ]
