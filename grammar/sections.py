"""Which stretch of a document belongs to which puzzle.

A puzzle begins at a heading that has a position below it, or at one after the solution of the puzzle before. Positions
under one heading before any solution text are one puzzle printed in several ways. A part of solutions at the end is
dealt out by number or title. Twins on one diagram are puzzles of their own in the end.
"""

import re
from collections.abc import Iterator
from itertools import takewhile

import chess
from msgspec import Struct
from msgspec.structs import replace

from .below import asked_below, is_order, keys_in_line, men_of
from .dealing import Answers, Dealer, Gathered
from .document import Diagram, Document, PuzzleText
from .elements import Element, elements, plays_in_words
from .orders import asks_of_several
from .positions import find_diagrams
from .spans import Span
from .titles import (
    ANSWER,
    COUNT,
    HEADING_NUMBER,
    LABEL_WITH_WORD,
    MANY_ANSWERS,
    NOUN,
    ONE_OF_SEVERAL,
    PART,
    STIPULATION,
    TO,
    number_first,
    numbers_of,
    plain,
    printed_number,
    tag,
    title_above,
    unnumbered,
    untitled,
)
from .traces import NUMBERED_MOVE, PRINTED_MOVE
from .twins import twins


class Sections(Struct, frozen=True):
    """The puzzles of a document and what belongs to none of them.

    `loose` is prose before the first puzzle, under headings without a position, or
    answering a puzzle that is not in the document; `headings` are the headings over it.
    """

    puzzles: tuple[PuzzleText, ...]
    loose: tuple[Span, ...]
    headings: tuple[Span, ...]


_ANSWERS = re.compile(
    rf"\W*(?:the\s+)?{ANSWER}(?:\W*|\s+(?:{TO}|{NOUN}).*|\s*#?\d.*|\s*[:–—-]\s.*)|\W*(?:last|previous)\s.*{ANSWER}\W*",
    re.I,
)
_OF_ANOTHER_ISSUE = re.compile(
    rf"\W*(?:{ANSWER}\s+{TO}\s+(?:the\s+)?(?:last|previous|earlier)\b|(?:last|previous)\s+[\w'’]+\s+(?:\w+\s+)?{ANSWER}\b)",
    re.I,
)
_ANSWER_TO = re.compile(rf"{ANSWER}\s+(?:{TO}\s+(?:the\s+)?|(?={NOUN})){COUNT}", re.I)
_KEY_WORD = re.compile(rf"\b(?:{ANSWER}|try)\b\s*[:–—-]?\s*(?={PRINTED_MOVE.pattern})", re.I)
_ASKS = re.compile(r"(?<!\w)[a-z-]{0,5}#\s?\d|\bmates?\s+in\b|\bmatt\s+in\b", re.I)
_NEXT_NUMBER = re.compile(rf"{NOUN}\s*#?\s?(\d{{1,4}})(?=\s*(?:[.:(]|[–—-]|[\r\n]|$))", re.I)
_FEN = re.compile(r"\b(?:fen|position|diagram)\b", re.I)
_LEAD_IN_BLOCKS = 4  # a number, a composer, a source and a stipulation


def puzzle_texts(document: Document) -> Sections:
    """Part a document into puzzles. Every character that is not blank in `masked` gets exactly one owner."""
    if document.puzzles is not None:
        return Sections(document.puzzles, document.loose, ())
    return _Parting(document).sections()


def is_part(heading: str) -> bool:
    """Tell whether a heading names a part of a puzzle, such as "Solution", and no puzzle."""
    return bool(PART.fullmatch(heading) or _ANSWERS.fullmatch(heading))


class _Parting:
    def __init__(self, document: Document) -> None:
        self.document = document
        self.masked, self.words = document.masked, document.words
        diagrams = find_diagrams(document)
        self.several = len(diagrams) > 1
        self.elements = elements(document, diagrams)
        self.puzzles: list[Gathered] = []
        self.loose: list[Element] = []
        self.stretches: list[Answers] = []
        self.current: Gathered | None = None
        self.answers: Answers | None = None
        self.last_diagram: Diagram | None = None
        self.last_owner: list[Element] = self.loose
        self.by_pieces: dict[frozenset[tuple[chess.Square, chess.PieceType, chess.Color]], Gathered] = {}
        self.asked_below = asked_below(self.masked, self.elements)

    def sections(self) -> Sections:
        for index, element in enumerate(self.elements):
            if element.heading:
                self._take_heading(index, element)
            elif element.diagram is not None:
                self._take_diagram(element, element.diagram)
            else:
                self._take_prose(element)
        lost = list(self._without_position())
        dealer = Dealer(self.document, self.puzzles)
        for stretch in self.stretches:
            dealer.deal_out(stretch)
        self.loose += dealer.left_over
        self.puzzles = sorted([*self.puzzles, *lost], key=lambda puzzle: puzzle.own[0].span)
        return Sections(
            tuple(twin for puzzle in self.puzzles for twin in twins(self.masked, self._finished(puzzle))),
            tuple(sorted(element.span for element in self.loose if not element.heading)),
            tuple(sorted(element.span for element in self.loose if element.heading)),
        )

    def _own(self, element: Element, owner: list[Element]) -> None:
        owner.append(element)
        self.last_owner = owner

    def _text(self, element: Element) -> str:
        return element.span.of(self.masked)

    def _take_heading(self, index: int, heading: Element) -> None:
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
        elif self.current is not None and (PART.fullmatch(text) or self._stays_inside(index, level)):
            self._own(heading, self.current.own)
        else:
            self.current = None
            self._own(heading, self.loose)

    def _is_answer_heading(self, text: str) -> bool:
        return bool(_ANSWERS.fullmatch(text)) and (bool(self.puzzles) or bool(_ANSWER_TO.match(text.lstrip())))

    def _default_target(self, text: str, level: int) -> Gathered | None:
        """Return the puzzle that a part of solutions belongs to unless a number or title says otherwise."""
        if self.current is None or not (PART.fullmatch(text) or ONE_OF_SEVERAL.match(text)):
            return None
        if level > self.current.level > 0:
            return self.current
        for_all = re.search(MANY_ANSWERS, text, re.I) or ONE_OF_SEVERAL.match(text)
        return None if for_all or any(not puzzle.answered for puzzle in self.puzzles[:-1]) else self.current

    def _begin_answers(self, default: Gathered | None, level: int, opening: str) -> Answers:
        self.answers = Answers(default, level, len(self.puzzles), bool(_OF_ANOTHER_ISSUE.match(opening)))
        self.stretches.append(self.answers)
        return self.answers

    def _opens_puzzle(self, index: int) -> bool:
        """Whether a position stands below this heading before another heading that is not the name of a part."""
        text = self._text(self.elements[index])
        if PART.fullmatch(text) or (self.several and asks_of_several(text)):
            return False
        for element in self.elements[index + 1 :]:
            if element.diagram is not None:
                known = self._known(element.diagram)
                return self.answers is None or known is None or not self._names(text, known)
            if element.heading and not PART.fullmatch(self._text(element)):
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

    def _begin(self, title: str, level: int, own: list[Element]) -> None:
        self.current = Gathered(title, level, len(self.puzzles) + 1, own)
        self.answers = None
        self.puzzles.append(self.current)
        self.last_owner = self.current.own

    def _take_diagram(self, element: Element, diagram: Diagram) -> None:
        known = self._known(diagram)
        if self.answers is not None and known is not None:
            self._begin_answers(known, self.answers.level, "")
            known.diagrams.append(diagram)
            return
        if self.answers is not None or self.current is None or not self._continues(self.current, diagram):
            lead_in = self._lead_in(element)
            inherits = self.current is not None and self.answers is None and not self.current.by_line
            title, level = (self.current.title, self.current.level) if self.current and inherits else ("", 0)
            if diagram.heading is not None:
                title, level = " ".join(diagram.heading.of(self.words).split()), 0
            elif lead_in and (label := LABEL_WITH_WORD.match(self._text(lead_in[0]))):
                title = label[0].rstrip(" \t:.)–—-")
            elif not title or self.last_diagram is not None:
                title = self._tagged(element) or title
            above = [*lead_in[:1], *self.last_owner[-1:], *([] if self.several else self.elements[:1])]
            line = title_above(self._text(each) for each in above if each.diagram is None and not each.heading)
            self._begin(title or line, level, lead_in)
            self.puzzles[-1].by_line = not title or diagram.heading is not None
        assert self.current is not None
        self.last_diagram = diagram
        self.current.diagrams.append(diagram)
        if not diagram.faults:
            self.by_pieces.setdefault(men_of(diagram), self.current)
        self._own(element, self.current.own)

    def _tagged(self, element: Element) -> str:
        """Return the number before a position on its line, "" if nothing but a number stands there."""
        after = self.last_diagram.span.end if self.last_diagram is not None else 0
        number = number_first(words := tag(self.words, element.span.start, after))
        bare = number is not None and not re.search(r"\w{2,}", _FEN.sub("", words[number.end() :]))
        return number[0].strip(" \t|*_([") if number and bare else ""

    def _known(self, diagram: Diagram) -> Gathered | None:
        """Return the puzzle that has printed just these men before."""
        return None if diagram.faults else self.by_pieces.get(men_of(diagram))

    def _names(self, text: str, puzzle: Gathered) -> bool:
        """Whether a heading among the solutions names this puzzle by title or number."""
        if label := LABEL_WITH_WORD.match(text) or HEADING_NUMBER.match(text):
            number = printed_number(puzzle.title)
            return numbers_of(label)[0] == (puzzle.ordinal if number is None else number)
        return untitled(text) in (plain(puzzle.title), plain(unnumbered(puzzle.title)))

    @staticmethod
    def _continues(puzzle: Gathered, diagram: Diagram) -> bool:
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

    def _lead_in(self, diagram: Element) -> list[Element]:
        """Take from the last owner the prose that introduces a position without a heading of its own."""
        if diagram.after_divider:
            return []
        taken = 0
        for count in range(1, min(_LEAD_IN_BLOCKS, len(self.last_owner)) + 1):
            element = self.last_owner[-count]
            text = self._text(element)
            if element.diagram is not None or element.heading or NUMBERED_MOVE.search(text) or _KEY_WORD.search(text):
                break
            last = self.last_diagram
            below = count < len(self.last_owner) and self.last_owner[-count - 1].diagram is not None
            if self.asked_below and below and is_order(text):
                break
            shown = taken and count < len(self.last_owner) and self.last_owner[-count - 1].diagram is not None
            if last and (shown or (count > 1 and last.kind == "list") or plays_in_words(self.masked, *element.span)):
                break  # it stands right below the position before
            inside = element.block is not None and element.block.span.end > diagram.span.start
            if not inside and not element.after_divider and asks_of_several(text):
                break  # it is asked of the positions after this one too
            opens = inside or STIPULATION.search(text) or LABEL_WITH_WORD.match(text)
            if opens or element.after_divider:
                taken = count
            if element.after_divider or LABEL_WITH_WORD.match(text):
                break
        lead_in = self.last_owner[len(self.last_owner) - taken :]
        del self.last_owner[len(self.last_owner) - taken :]
        return lead_in

    def _take_prose(self, element: Element) -> None:
        text = self._text(element)
        if _OF_ANOTHER_ISSUE.match(text) or (self.answers is None and _ANSWER_TO.match(text)):
            self._begin_answers(None, 0, text)
        if self.answers is None and keys_in_line(text):
            self._begin_answers(None, 0, text)
        if self.answers is None and self._opens_another(text):
            self.current = None  # its position is missing, unless it stands right below
        puzzle = self.current if self.answers is None else self.answers.default
        if puzzle is not None and not puzzle.answered:
            puzzle.answered = bool(NUMBERED_MOVE.search(text) or _KEY_WORD.search(text))
        if self.answers is not None:
            self._own(element, self.answers.elements)
        else:
            self._own(element, self.current.own if self.current is not None else self.loose)

    def _without_position(self) -> Iterator[Gathered]:
        """Take out of the loose text the puzzles that show no position: a solution under a number or an order."""
        groups: list[list[Element]] = []
        for element in self.loose:
            text = self._text(element)
            if asks_of_several(text):
                continue  # of the whole file
            opens = element.heading or LABEL_WITH_WORD.match(text) or STIPULATION.search(text)
            played = bool(groups) and any(NUMBERED_MOVE.search(self._text(each)) for each in groups[-1])
            headed = bool(groups) and groups[-1][0].heading and not played
            if not groups or element.heading or (opens and not headed and (played or not groups[-1][0].heading)):
                groups.append([])
            groups[-1].append(element)
        taken: set[Span] = set()
        for group in groups:
            texts = [self._text(element) for element in group]
            named = LABEL_WITH_WORD.match(texts[0]) or (group[0].heading and HEADING_NUMBER.match(texts[0]))
            asked = any(_ASKS.search(text) for text in texts)
            prose = [text for element, text in zip(group, texts, strict=True) if not element.heading]
            if (named or asked) and any(NUMBERED_MOVE.search(text) for text in prose):
                label = LABEL_WITH_WORD.match(texts[0])
                title = texts[0] if group[0].heading else label[0].rstrip(" \t:.)–—-") if label else ""
                level = group[0].block.level if group[0].heading and group[0].block else 0
                taken.update(element.span for element in group)
                yield Gathered(" ".join(title.split()), level, 0, group)
        self.loose[:] = [element for element in self.loose if element.span not in taken]

    def _opens_another(self, text: str) -> bool:
        """Whether a paragraph begins with the number of a later puzzle than the one before, solved by now."""
        label = _NEXT_NUMBER.match(text)
        if label is None or self.current is None or not self.current.answered:
            return False
        return (number := printed_number(self.current.title)) is not None and int(label[1]) > number

    def _finished(self, puzzle: Gathered) -> PuzzleText:
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
