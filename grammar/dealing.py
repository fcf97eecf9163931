"""Solutions at the end of a document, dealt out to the puzzles that they answer, by number or by title."""

import re
from collections.abc import Iterator

from msgspec import Struct, field

from .below import is_play, keys_in_line
from .document import Diagram, Document
from .elements import Element, trim
from .spans import Span
from .titles import (
    HEADING_NUMBER,
    LABEL_WITH_WORD,
    ONE_OF_SEVERAL,
    PART,
    PARTED,
    label_places,
    numbers_of,
    plain,
    printed_number,
    unnumbered,
    untitled,
)
from .traces import NUMBERED_MOVE, PRINTED_MOVE

_LABEL_OF_LINE = re.compile(rf"{PARTED}(\d{{1,4}})(?:[ \t]*[.):](?=\s)|(?<=\d[.]\d)(?=\s)|(?<=[.]\d\d)(?=\s))")
_LIST_MARKER = re.compile(r"(\d{1,4})[.)][ \t]+$")
_QUESTION = re.compile(r"^[ \t]*(\d{1,2})[.)][ \t]+(?=[^\W\d_]{2})", re.M)
_MOST_MOVES_OF_A_COLUMN = 9  # a greater number that a puzzle has too is that of the puzzle: "11. Bd2."


class Gathered(Struct):
    """A puzzle while its parts are gathered."""

    title: str
    level: int  # of the heading that gives the title, 0 if there is none
    ordinal: int  # from 1
    own: list[Element]
    diagrams: list[Diagram] = field(default_factory=list)
    answers: list[Span] = field(default_factory=list)  # prose printed elsewhere
    labels: list[Span] = field(default_factory=list)
    answered: bool = False  # solution text has been seen
    by_line: bool = False  # the title is of this position alone: words over it, a line that only looks like a title


class Answers(Struct):
    """A stretch that may answer several puzzles: each element is dealt out when all puzzles are known."""

    default: Gathered | None
    level: int  # of the heading over it, 0 if there is none
    puzzles_above: int
    of_another_issue: bool
    elements: list[Element] = field(default_factory=list)


class Dealer:
    """Deals solutions out. `puzzles` are those of the document; `left_over` is what answers none of them."""

    def __init__(self, document: Document, puzzles: list[Gathered]) -> None:
        self.document, self.masked = document, document.masked
        self.puzzles = puzzles
        self.left_over: list[Element] = []
        self.by_number: dict[int, Gathered] = {}
        self.by_title: dict[str, Gathered] = {}
        numbers = [printed_number(puzzle.title) for puzzle in self.puzzles]
        self.numbers_printed = any(number is not None for number in numbers)
        self.asked = asked = {} if self.numbers_printed else self._questions()
        if not self.numbers_printed and not asked:
            numbers = [puzzle.ordinal for puzzle in self.puzzles]
        for number, puzzle in zip(numbers, self.puzzles, strict=True):
            if number is not None:
                self.by_number.setdefault(number, puzzle)
            for title in plain(puzzle.title), plain(unnumbered(puzzle.title)):
                if title:
                    self.by_title.setdefault(title, puzzle)
        self.by_number.update(asked)

    def _questions(self) -> dict[int, Gathered]:
        """Return whose the questions are that are numbered through below all positions: 1 to 5, then 6 to 9."""
        found = [
            (int(line[1]), puzzle)
            for puzzle in self.puzzles
            for element in puzzle.own
            for line in _QUESTION.finditer(element.span.of(self.masked))
        ]
        through = [number for number, _ in found] == list(range(1, len(found) + 1))
        of_all = len({id(puzzle) for _, puzzle in found}) == len(self.puzzles) < len(found)
        return dict(found) if through and of_all else {}

    def _numbered(self, number: int, stretch: Answers) -> Gathered | None:
        if stretch.of_another_issue and not self.numbers_printed:
            return None
        return self.by_number.get(number)

    def deal_out(self, stretch: Answers) -> None:
        """Give each part of a stretch to the puzzle it answers, or to what is left over."""
        default = stretch.default
        only_one = len(self.puzzles) == 1 or stretch.puzzles_above == 1
        if default is None and only_one and not stretch.of_another_issue:
            default = self.puzzles[0]
        target: Gathered | None = default
        bare = stretch.default is None and self._bare_labels(stretch)
        for element in stretch.elements:
            if element.heading:
                target = self._heading_target(element, stretch, default)
                if target is not None:
                    target.labels.append(element.span)
                else:
                    self.left_over.append(element)
                continue
            for label, number, prose in self._answers_in(element, stretch, bare):
                if number is not None:
                    target = self._numbered(number, stretch)
                if target is None:
                    self.left_over += [Element(span) for span in (label, prose) if span is not None]
                    continue
                if label is not None:
                    target.labels.append(label)
                if prose is not None:
                    target.answers.append(prose)

    def _heading_target(self, heading: Element, stretch: Answers, default: Gathered | None) -> Gathered | None:
        text = heading.span.of(self.masked).strip()
        if titled := self.by_title.get(untitled(text)):
            return titled
        one_of_several = ONE_OF_SEVERAL.match(text)
        counts = not one_of_several or (stretch.default is None and len(self.puzzles) > 1)
        if counts and (label := LABEL_WITH_WORD.match(text) or HEADING_NUMBER.match(text)):
            return self._numbered(numbers_of(label)[0], stretch)
        level = heading.block.level if heading.block else 0
        return default if level > stretch.level or one_of_several or PART.fullmatch(text) else None

    def _bare_labels(self, stretch: Answers) -> bool:
        """Whether lines such as "1. Qb1!" and "2. Sf4!" number the puzzles and not the moves.

        They do if there is one such line for each puzzle, with one numbered move each.
        """
        seen: list[int] = []
        for element in stretch.elements:
            if element.heading:
                continue
            for line in element.span.of(self.masked).splitlines():
                numbered = NUMBERED_MOVE.match(line.strip())
                if numbered is None or len(NUMBERED_MOVE.findall(line)) != 1:
                    return False
                seen.append(int(re.match(r"\d+", numbered[0])[0]))  # type: ignore[index]
        return len(seen) > 1 and sorted(seen) == sorted(self.by_number)

    def _answers_in(
        self, element: Element, stretch: Answers, bare: bool
    ) -> Iterator[tuple[Span | None, int | None, Span | None]]:
        """Part the prose of an element at its labels: (label, number, prose), with None for what is not there."""
        text, start = element.span.of(self.masked), element.span.start
        cuts: list[tuple[int, int, int]] = []  # where the label starts and ends, and its number
        line_start = max(self.document.text.rfind("\n", 0, start), self.document.text.rfind("\r", 0, start)) + 1
        marker = _LIST_MARKER.search(self.document.text, line_start, start)
        by_count = stretch.default is None  # else a number counts the variations of one puzzle
        hidden = by_count and not self.masked[line_start:start].strip()
        if marker and hidden and self._numbered(int(marker[1]), stretch):
            cuts.append((0, 0, int(marker[1])))
        for place in label_places(text):
            label = LABEL_WITH_WORD.match(text, place)
            if label is not None and ONE_OF_SEVERAL.match(label[0]) and (not by_count or is_play(text, label)):
                label = None
            if label is None and by_count:
                label = self._line_label(text, place, stretch, bare)
            if label is not None and (not cuts or place >= cuts[-1][1]):
                cuts.append((place, label.end(), numbers_of(label)[0]))
        if not cuts or cuts[0][0] > 0:
            yield None, None, trim(self.masked, start, start + (cuts[0][0] if cuts else len(text)))
        for index, (label_start, label_end, number) in enumerate(cuts):
            end = cuts[index + 1][0] if index + 1 < len(cuts) else len(text)
            yield (
                trim(self.masked, start + label_start, start + label_end),
                number,
                trim(self.masked, start + label_end, start + end),
            )

    def _line_label(self, text: str, place: int, stretch: Answers, bare: bool) -> re.Match[str] | None:
        label = _LABEL_OF_LINE.match(text, place)
        if label is not None and keys_in_line(text) == sorted(self.by_number):
            return label
        indented = bool(self.asked) and not text[max(text.rfind("\n", 0, place), 0) : place].strip()
        if label is None or (place > 0 and text[place - 1] not in "\r\n" and not indented):
            return None
        if self._numbered(number := numbers_of(label)[0], stretch) is None:
            return None
        after = text[label.end() :].lstrip()
        beyond = self.numbers_printed and number > _MOST_MOVES_OF_A_COLUMN
        return label if bare or beyond or not PRINTED_MOVE.match(after) else None
