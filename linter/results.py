"""What a run yields for each file, before it is printed."""

from bisect import bisect_right
from typing import Literal

from keyproof.grammar.spans import Lines, Span, lines_of
from keyproof.rules.finding import Finding
from keyproof.rules.reading.account import Account
from msgspec import Struct, field

from .manuscripts.model import Manuscript
from .shown_moves import ShownMove
from .understood import Sentence

Verdict = Literal["sound", "unsound", "unproved", "no-claim"]


class PuzzleResult(Struct, frozen=True):
    """One puzzle as it was read and proved.

    `fen` is None where no usable position was printed. `keys` are SAN with English letters.
    `move_mentions` counts the moves the text speaks of, `checked` those that were replayed (found
    true or reported) at a place that can be trusted. `account` says of each clause that holds chess whether it was
    placed. `reading` is set where it was asked for: how each sentence was understood. `parts` are the stretches of
    the text it stands in, `moves`, where they were asked for, those the text speaks of with the positions they lead to.
    `supposed` is set where nothing states the stipulation plainly: the words it was taken from, "" if it was from the
    solution or the other puzzles of the file.
    """

    line: int
    title: str
    fen: str | None
    stipulation: str | None
    verdict: Verdict
    keys: tuple[str, ...]
    move_mentions: int
    checked: int
    account: Account = field(default_factory=Account)
    start: int = 0  # where it begins, an offset in the text
    reading: tuple[Sentence, ...] | None = None
    parts: tuple[Span, ...] = ()
    moves: tuple[ShownMove, ...] = ()
    supposed: str | None = None


class PlacedFinding(Struct, frozen=True):
    """A finding and the index of its puzzle in `FileResult.puzzles` (None: it belongs to the file)."""

    finding: Finding
    puzzle: int | None


class Remark(Struct, frozen=True):
    """Something that kept a part of the file from being checked, and is no fault of its text: always a note."""

    span: Span
    message: str


class Unbound(Struct, frozen=True):
    """The text of a file that could not be read on any position: `of_puzzles` belongs to puzzles of which the
    position is missing or cannot be read, `of_none` to no puzzle, but speaks of squares or moves.
    """

    of_puzzles: tuple[Span, ...] = ()
    of_none: tuple[Span, ...] = ()


class FileResult(Struct, frozen=True):
    """All that a file yielded, or a piece of one. With `error` set nothing else is.

    `text` begins with the line `first_line` of the file; `last` tells whether nothing of the file comes after it.
    `times` are those of a recording: where each cue begins, and when, in milliseconds (None: not spoken).
    `manuscript` is set where the text was taken out of one: it knows the places that a person finds.
    `made_of` stands for the bytes of the file, and of those beside it, that this came of ("": none could be read).
    """

    path: str
    text: str = ""
    error: str | None = None
    error_line: int = 1
    error_column: int = 1
    puzzles: tuple[PuzzleResult, ...] = ()
    findings: tuple[PlacedFinding, ...] = ()
    remarks: tuple[Remark, ...] = ()
    times: tuple[tuple[int, int | None], ...] = ()
    manuscript: Manuscript | None = None
    unbound: Unbound = Unbound()
    first_line: int = 1
    made_of: str = ""
    last: bool = True

    @property
    def lines(self) -> Lines:
        """The lines in which places are counted: those of the file, as far as they are here."""
        if self.manuscript is not None:
            return self.manuscript.lines
        return lines_of(self.text) if self.first_line == 1 else Lines(self.text, self.first_line)

    def region(self, span: Span) -> tuple[int, int, int, int]:
        """Return line and column of the start and of the end of a span, counted from 1."""
        if self.manuscript is not None:
            span = self.manuscript.in_file(span)
        lines = self.lines
        return (*lines.place(span.start), *lines.place(span.end))

    def place(self, offset: int) -> str | None:
        """Return where a person finds an offset of a manuscript, "table 2, row 3", else None."""
        return None if self.manuscript is None else self.manuscript.place(offset)

    @property
    def counted(self) -> bool:
        """True where the lines of the text are those of the file, so that a person or a program can count them."""
        return self.manuscript is None or self.manuscript.source is not None

    def where(self, offset: int) -> str:
        """Return where a person finds an offset: "table 2, row 3" in a manuscript, "line 12" in a text."""
        return self.place(offset) or f"line {self.region(Span(offset, offset))[0]}"

    @property
    def account(self) -> Account:
        """What became of each clause of the file that holds chess."""
        return Account(tuple(entry for puzzle in self.puzzles for entry in puzzle.account.entries))

    def time(self, offset: int) -> str | None:
        """Return the time of the cue that a place of a recording is in, "00:02:31.480", else None."""
        cue = bisect_right(self.times, offset, key=lambda cue: cue[0]) - 1
        start = self.times[cue][1] if cue >= 0 else None
        if start is None:
            return None
        seconds, thousandths = divmod(start, 1000)
        return f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}.{thousandths:03}"
