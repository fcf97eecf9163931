"""By which names the puzzles of a file go, and which one a stretch of text names."""

import re
from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

from keyproof.grammar.document import Document, PuzzleText
from keyproof.grammar.labels import Labels, has_answers, labels_of, names_any
from keyproof.grammar.mentions import Mention, mentions, several
from keyproof.grammar.spans import Span
from keyproof.grammar.titles import NOUN, PART, names_of, number_first, numbers_of, plain, printed_number, tag
from keyproof.grammar.traces import NUMBERED_MOVE
from msgspec import Struct

_BEYOND_DOUBT = re.compile(r"[^\W\d_]|\d[/.-]\d")
_LINE = re.compile(r"[\r\n]+[ \t]*")
_LEADS = re.compile(r"and|on|for|of|to|the")  # between a word for a part and the name of a puzzle
_ENDS_WITH = re.compile(rf"(?i:{NOUN})\s*#?(\d{{1,3}})[.:)]?[ \t]*$")
_NO_MOVE = 100  # a number that no move has
_FARTHEST = 20  # letters and digits to the end of the number that opens a text


class Part(Struct, frozen=True):
    """A stretch of text, the puzzle that one of its sentences names, and whether it begins with that name."""

    span: Span
    named: int | None = None
    opens: bool = False


def _numbers_above(text: str, start: int) -> Iterator[int]:
    """Yield the number with which the line above a position ends: "Monday. Exercise 1." over the list of men."""
    end = text.rfind("\n", 0, start)
    found = _ENDS_WITH.search(text, text.rfind("\n", 0, max(end, 0)) + 1, max(end, 0))
    if found is not None:
        yield int(found[1])


class Naming:
    """The names of the puzzles that a text can be given to, each a pair of its index and itself, in their order."""

    def __init__(self, document: Document, puzzles: Sequence[tuple[int, PuzzleText]]) -> None:
        self.masked = document.masked
        words = document.words
        ends = sorted(diagram.span.end for _, puzzle in puzzles for diagram in puzzle.diagrams)
        named: dict[int | str, list[int]] = {}
        of_titles: list[tuple[int | str, int]] = []
        letters: dict[str, int] = {}
        for index, puzzle in puzzles:
            start = puzzle.diagrams[0].span.start
            before = tag(words, start, max([0, *ends[: bisect_left(ends, start + 1)][-1:]]))
            for name in names_of("", before) if before.strip() else _numbers_above(words, start):
                named.setdefault(name, []).append(index)
            of_titles += [(name, index) for name in names_of(puzzle.title, "")]
            for label in labels_of(puzzle.title, before):
                letters.setdefault(label, index)
        for name, index in of_titles:  # behind all that stands right before a position
            named.setdefault(name, []).append(index)
        self.by_name = {  # a title over several of them, as of a chapter, names none
            name: found[0] for name, found in named.items() if isinstance(name, int) or len(set(found)) == 1
        }
        numbers = {name: index for name, index in self.by_name.items() if isinstance(name, int)}
        self.labels = Labels(letters, numbers, [index for index, _ in puzzles], asked=has_answers(self.masked))

    def of_heading(self, words: str) -> int | None:
        """Return the puzzle that a heading names, None if it names none."""
        if (number := printed_number(words)) is not None:
            return self.by_name.get(number)
        if (label := number_first(words)) is not None:
            return self._numbered(label)
        named = self._titled(plain(words))
        return named if named is not None else self.labels.named(words, Span(0, len(words)))

    def _titled(self, words: str) -> int | None:
        """Return the puzzle whose name a heading is, or is behind a word for its part: "notes, oak-7"."""
        while words and words not in self.by_name:
            part, _, words = words.partition(" ")
            if not (PART.fullmatch(part) or _LEADS.fullmatch(part)):
                return None
        return self.by_name.get(words)

    def of_text(self, span: Span, current: int | None) -> int | None:
        """Return the puzzle that a text says it speaks of, None if it does not say. `current` is the one named before.

        The number of an earlier issue may open it, "11. Bd2. The threat is ...", a letter, or words of a speaker.
        """
        label = number_first(self.masked, *span)
        if label is not None and several(self.masked, label.end()):
            return None
        if label is not None and sum(map(str.isalnum, label[0])) <= _FARTHEST:  # ruled lines may stand before it
            puzzle = self._numbered(label)
            if puzzle is not None and not (NUMBERED_MOVE.match(self.masked, label.start(1)) and int(label[1]) < 10):
                return puzzle
        named = self.labels.named(self.masked, span)
        return named if named is not None or current is None else self.labels.following(self.masked, span, current)

    def parts(self, span: Span) -> Iterator[Part]:
        """Cut a text at the lines that begin with the name of a puzzle, and at the sentences that name one."""
        lines = (line.end() for line in _LINE.finditer(self.masked, *span))
        starts = [place for place in lines if self._opens(Span(place, span.end))]
        for start, end in pairwise([span.start, *starts, span.end]):
            yield from self._sentences(Span(start, end))

    def _sentences(self, span: Span) -> Iterator[Part]:
        place = span.start
        for mention in mentions(span.of(self.masked)):
            index = self._mentioned(mention)
            if index is None:
                continue
            start, end = mention.span.further_on(span.start)
            yield from self._part(place, start)
            yield from self._part(start, end, index, opens=mention.opens)
            place = end
        yield from self._part(place, span.end)

    def _part(self, start: int, end: int, named: int | None = None, *, opens: bool = False) -> Iterator[Part]:
        words = self.masked[start:end]
        if words.strip():
            yield Part(Span(start + len(words) - len(words.lstrip()), start + len(words.rstrip())), named, opens)

    def _opens(self, line: Span) -> bool:
        """Tell whether a line begins with the label of a puzzle that can be nothing else."""
        number = number_first(self.masked, *line)
        if number is not None and (int(number[1]) >= _NO_MOVE or _BEYOND_DOUBT.search(number[0])):
            return self._numbered(number) is not None
        return self.labels.opened(self.masked, line) is not None

    def _mentioned(self, mention: Mention) -> int | None:
        if mention.label:
            return self.labels.labels.get(mention.label)
        named = next((self.by_name[each] for each in mention.numbers if each in self.by_name), None)
        if named is None and 0 <= mention.place < len(self.labels.order):
            return self.labels.order[mention.place]
        return named

    def _said(self, span: Span) -> int | None:
        """Return the puzzle that a text names as no move is numbered: "7.2", "No. 7", "B.", "the next"."""
        if not names_any(span.of(self.masked)):
            return None
        label = number_first(self.masked, *span)
        sure = label is None or _BEYOND_DOUBT.search(label[0]) is not None
        return self.of_text(span, None) if sure else self.labels.named(self.masked, span)

    def _numbered(self, label: re.Match[str]) -> int | None:
        """Return the puzzle of a label that begins with a number, None if nothing is called that."""
        return next((self.by_name[each] for each in numbers_of(label) if each in self.by_name), None)

    def elsewhere(self, texts: Iterable[tuple[Part, int | None]]) -> set[int]:
        """Return the puzzles of texts that say by number, letter or words that they speak of others, and those.

        A text that belongs to none by the layout is given with None.
        """
        named = ((self._said(part.span), part.named, owner) for part, owner in texts)
        pairs = ((said if said is not None else told, owner) for said, told, owner in named)
        return {each for pair in pairs if pair[0] not in (None, pair[1]) for each in pair if each is not None}
