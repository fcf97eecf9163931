"""By which names the puzzles of a file go, and which one a stretch of text names."""

import re
from bisect import bisect_left
from collections.abc import Iterable, Sequence

from keyproof.grammar.document import Document, PuzzleText
from keyproof.grammar.labels import Labels, labels_of, names_any
from keyproof.grammar.spans import Span
from keyproof.grammar.titles import names_of, number_first, numbers_of, plain, printed_number, tag
from keyproof.grammar.traces import NUMBERED_MOVE

_BEYOND_DOUBT = re.compile(r"[^\W\d_]|\d[/.-]\d")
_FARTHEST = 20  # letters and digits to the end of the number that opens a text


class Naming:
    """The names of the puzzles that a text can be given to, each a pair of its index and itself, in their order."""

    def __init__(self, document: Document, puzzles: Sequence[tuple[int, PuzzleText]]) -> None:
        self.masked = document.masked
        words = document.words
        ends = sorted(diagram.span.end for _, puzzle in puzzles for diagram in puzzle.diagrams)
        named: dict[int | str, list[int]] = {}
        letters: dict[str, int] = {}
        for index, puzzle in puzzles:
            start = puzzle.diagrams[0].span.start
            before = tag(words, start, max([0, *ends[: bisect_left(ends, start + 1)][-1:]]))
            for name in names_of(puzzle.title, before):
                named.setdefault(name, []).append(index)
            for label in labels_of(puzzle.title, before):
                letters.setdefault(label, index)
        self.by_name = {  # a title over several of them, as of a chapter, names none
            name: found[0] for name, found in named.items() if isinstance(name, int) or len(set(found)) == 1
        }
        numbers = {name: index for name, index in self.by_name.items() if isinstance(name, int)}
        self.labels = Labels(letters, numbers, [index for index, _ in puzzles])

    def of_heading(self, words: str) -> int | None:
        """Return the puzzle that a heading names, None if it names none."""
        if (number := printed_number(words)) is not None:
            return self.by_name.get(number)
        if (label := number_first(words)) is not None:
            return self._numbered(label)
        named = self.by_name.get(plain(words))
        return named if named is not None else self.labels.named(words, Span(0, len(words)))

    def of_text(self, span: Span, current: int | None) -> int | None:
        """Return the puzzle that a text says it speaks of, None if it does not say. `current` is the one named before.

        The number of an earlier issue may open it, "11. Bd2. The threat is ...", a letter, or words of a speaker.
        """
        label = number_first(self.masked, *span)
        if label is not None and sum(map(str.isalnum, label[0])) <= _FARTHEST:  # ruled lines may stand before it
            puzzle = self._numbered(label)
            if puzzle is not None and not (NUMBERED_MOVE.match(self.masked, label.start(1)) and int(label[1]) < 10):
                return puzzle
        named = self.labels.named(self.masked, span)
        return named if named is not None or current is None else self.labels.following(self.masked, span, current)

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

    def elsewhere(self, texts: Iterable[tuple[Span, int | None]]) -> set[int]:
        """Return the puzzles of texts that say by number, letter or words that they speak of others, and those.

        A text that belongs to none by the layout is given with None.
        """
        named = ((self._said(span), owner) for span, owner in texts)
        pairs = ((index, owner) for index, owner in named if index not in (None, owner))
        return {each for pair in pairs for each in pair if each is not None}
