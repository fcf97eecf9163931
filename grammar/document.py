"""A file as the grammars see it: the untouched text and the parts of it that are prose."""

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Literal

import chess
from msgspec import Struct, field

from .spans import Span

if TYPE_CHECKING:
    from .statements import Statement

BlockKind = Literal["heading", "paragraph", "item", "cell", "code"]


class Block(Struct, frozen=True):
    """One run of text that belongs together: a heading, a paragraph, a list item, a table cell row or a code fence."""

    kind: BlockKind
    span: Span
    level: int = 0  # of a heading, from 1; 0 otherwise


class Document(Struct, frozen=True):
    """A file's text with its blocks.

    `masked` has the same length as `text`; markup that is not the author's
    words (list bullets, emphasis signs, link targets, cue timings) is replaced by
    spaces, so that an offset means the same in both. `puzzles` is set where the kind of file
    itself says which text belongs to which position, `loose` is then the prose that belongs to none.
    `times` are those of a recording: where each cue begins, and when, in milliseconds (None: not spoken).
    `notes` say what was assumed when the file was read. `beside` are boards that stand in lines with other text;
    `masked` is blank where they are drawn. `gleaned` are positions that only the proof could tell from other readings
    of their words.
    """

    path: str
    text: str
    masked: str
    blocks: tuple[Block, ...]
    puzzles: "tuple[PuzzleText, ...] | None" = None
    loose: tuple[Span, ...] = ()
    times: tuple[tuple[int, int | None], ...] = ()
    notes: tuple[str, ...] = ()
    beside: "tuple[Beside, ...]" = ()
    gleaned: "tuple[Diagram, ...]" = ()

    @property
    def words(self) -> str:
        """The text without the ranks of the boards that stand beside others."""
        if not self.beside:
            return self.text
        signs = list(without_boards(self.text, self.beside))
        for shown in (each.diagram.heading for each in self.beside if each.diagram.heading):
            signs[shown.start : shown.end] = shown.of(self.text)
        return "".join(signs)


class TextFault(Struct, frozen=True):
    """Something a reader could not make sense of, with the reason a person would give."""

    span: Span
    message: str
    unread: bool = False  # it may be said plainly, and only the reader does not know the words


class MenCount(Struct, frozen=True):
    """A number printed beside a position that says how many men stand there, as "White (8)" or "(4 men)" does.

    `colours` are the sides it counts together; `or_both`: it may mean all men as well.
    """

    span: Span
    number: int
    colours: tuple[chess.Color, ...]
    or_both: bool = False


class Diagram(Struct, frozen=True):
    """A position as it was printed. Fields the notation does not carry are None."""

    kind: Literal["fen", "list", "board"]
    span: Span
    pieces: dict[chess.Square, chess.Piece]
    piece_spans: dict[chess.Square, Span] = field(default_factory=dict)  # where each man of a list stands in the text
    turn: chess.Color | None = None
    castling: str | None = None  # as printed, "-" or a subset of "KQkq"; None: the notation has no such field
    castling_span: Span | None = None
    en_passant: chess.Square | None = None
    has_en_passant_field: bool = False
    faults: tuple[TextFault, ...] = ()  # any fault: the position cannot be used
    counts: tuple[MenCount, ...] = ()  # of its men, as printed with it
    heading: Span | None = None  # the words over it, where several boards stand side by side under their own
    told: bool = False  # in words, man by man
    others: tuple[dict[chess.Square, chess.Piece], ...] = ()  # what the words that tell it may mean as well


class Beside(Struct, frozen=True):
    """A position that shares its lines with other text: shown at its label or a line of it, and all it takes.

    `own` is what stands above and below it in a column of its own.
    """

    diagram: Diagram
    lines: tuple[Span, ...]
    own: tuple[Span, ...] = ()


def without_boards(text: str, beside: "Sequence[Beside]") -> str:
    """Return `text` with blanks where those boards are drawn."""
    signs = list(text) if beside else []
    for each in beside:
        for line in each.lines:
            signs[line.start : line.end] = " " * (line.end - line.start)
    return "".join(signs) if beside else text


class PuzzleText(Struct, frozen=True):
    """The stretch of a document that belongs to one position, before its claims are read.

    A twin has its `label` ("b") where that stands, in `label_span`, and in `twin_faults` why its
    position cannot be set up. `counts` are the places that state how many solutions there are.
    `play` is set where the kind of file has a notation of its own for lines of play: it returns
    the statements and the language of their piece letters, else read from `prose`; `remarks` are the
    words beside these lines. `asked` is set
    where the position stands in another file: the stipulation it has there, "" for none. `spoken`:
    the words are those of a speaker, who prints no full stops. `orders` are elsewhere in the file and ask
    something of this puzzle by its number ("11 and 12: mate in two").
    """

    title: str
    span: Span
    diagrams: tuple[Diagram, ...]
    prose: tuple[Span, ...]  # what is left when titles and diagrams are taken out, in order, one span a block
    headings: tuple[Span, ...] = ()
    label: str = ""
    label_span: Span | None = None
    twin_faults: tuple[TextFault, ...] = ()
    counts: tuple[Span, ...] = ()
    play: "Callable[[], tuple[list[Statement], str]] | None" = None
    asked: str | None = None
    spoken: bool = False
    orders: tuple[Span, ...] = ()
    remarks: tuple[Span, ...] = ()

    @property
    def parts(self) -> tuple[Span, ...]:
        """Every stretch of the file that belongs to the puzzle, in order: a solution may stand far from its diagram."""
        shown = (diagram.span for diagram in self.diagrams)
        return tuple(sorted({self.span, *self.prose, *self.headings, *shown}))

    @property
    def stretches(self) -> tuple[Span, ...]:
        """The parts in order, those that overlap made one."""
        found: list[Span] = []
        for part in self.parts:
            if found and part.start <= found[-1].end:
                found[-1] = found[-1].to(part)
            else:
                found.append(part)
        return tuple(found)
