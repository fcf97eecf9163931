"""The statements of a solution text, in the order they stand there."""

from functools import cached_property
from typing import Literal

import chess
from msgspec import Struct

from .moves import Effect, MovePhrase
from .spans import Span

MarkerKind = Literal[
    "was_key",
    "was_try",
    "refutes",
    "key",
    "try",
    "but",
    "refuted_by",
    "refuted_only_by",
    "if",
    "threat",
    "set_play",
    "variations",
    "in_diagram",
]
ClaimKind = Literal[
    "no_threat",
    "zugzwang",
    "only_move",
    "complete",
    "no_legal_move",
    "no_castling",
    "count",
    "stipulation",
    "side_to_move",
    "mates",
    "refutations",
    "replies",
]
ReasonKind = Literal[
    "pinned",
    "guarded",
    "immobile",
    "replies",
    "flights",
    "flight_given",
    "flight_taken",
    "blocked",
    "line_closed",
    "line_opened",
    "sacrifice",
    "quiet",
    "underpromotion",
    "other_promotion",
    "mate_picture",
    "discovered_check",
    "double_check",
    "battery",
    "battery_fired",
    "drawn_away",
    "overloaded",
]
BreakKind = Literal["comma", "semicolon", "stop", "question", "line", "block", "open", "close"]


class MoveNumber(Struct, frozen=True, dict=True):
    """A printed move number. `second` is True for "1...", `value` None for a bare "..."."""

    span: Span
    value: int | None
    second: bool

    @cached_property
    def ply(self) -> int | None:
        """Return the half-move counted from 1 for White's first move, or None where no number is printed."""
        return None if self.value is None else 2 * self.value - (0 if self.second else 1)


class Turn(Struct, frozen=True):
    """One half-move of a line, with its alternatives ("Kc4/Ke6") and what is said of it ("is mate").

    `placed`: the notation itself, as in PGN, says which position it is played from.
    """

    span: Span
    number: MoveNumber | None
    choices: tuple[MovePhrase, ...]
    effects: tuple[tuple[Effect, Span], ...] = ()
    bare_square: bool = False  # "d5" alone: a pawn move or just the name of a square
    placed: bool = False


class Outcome(Struct, frozen=True):
    """What is said of the move before: "That is mate.", apart from the move itself."""

    span: Span
    effects: tuple[tuple[Effect, Span], ...]


class Topic(Struct, frozen=True):
    """A man named, with its square or without, so that "it" and "that knight" may mean it.

    `piece` is None for "the one on e6".
    """

    span: Span
    text: str
    piece: chess.PieceType | None
    square: chess.Square | None


class Marker(Struct, frozen=True):
    """A word that says what the next move is ("Key:", "but", "threat") or where we are ("in the set play")."""

    kind: MarkerKind
    span: Span


class Claim(Struct, frozen=True):
    """A claim that is not a move: "zugzwang", "(8+11)", "mate in two", "forced".

    `count` is how many mates or refutations there are said to be, None where it is those that the text gives. "replies"
    are such of which the words leave open whether they refute or are all that is legal.
    """

    kind: ClaimKind
    span: Span
    text: str
    count: int | None = None


class Man(Struct, frozen=True):
    """A man as the author names it: "the black bishop on e6", "the h-pawn", "it". What is None is not said.

    `kinds` holds one kind of man, or, for a pronoun, those it may mean (none until a reader has found them).
    `squares` are several for several men: "the pawns on f4 and g2". `named` are those that "it" may mean, if it is no
    man. `moved`: the man that has made the last move told. `corner`: he stands in one ("the bishop in the corner").
    """

    span: Span
    text: str
    kinds: tuple[chess.PieceType, ...] = ()
    colour: chess.Color | None = None
    squares: tuple[chess.Square, ...] = ()
    file: int | None = None  # 0 for the a-file
    light: bool | None = None  # "light-squared": True
    pronoun: bool = False
    named: tuple[chess.Square, ...] = ()
    moved: bool = False
    plural: bool = False
    corner: bool = False


class Reason(Struct, frozen=True):
    """Why something is so: a statement about men and squares that a position proves or refutes.

    `told` is the place of what is said, less the man it is said of where he is named first: that may be the man of a
    move. `man` is the man it is said of, `other` the second one, who does it to the first ("pinned by the rook"), and
    `target` the one that stands behind the first ("pinned to the queen"); None where the author leaves them out.
    `also` is one that does it with `other` ("guarded by the rook and the knight").
    `squares` are those it speaks of, all of them. `count` is how many flights or guards there are, exactly;
    `where` are the words for a line ("on the long diagonal"); `negated` says the opposite.
    """

    kind: ReasonKind
    span: Span
    text: str
    told: Span
    man: Man | None = None
    other: Man | None = None
    also: Man | None = None
    target: Man | None = None
    squares: tuple[chess.Square, ...] = ()
    count: int | None = None
    where: str = ""
    negated: bool = False


class Break(Struct, frozen=True):
    """A comma, the end of a sentence ("question": one that asks), a line or a block, or a bracket."""

    kind: BreakKind
    span: Span


class Aside(Struct, frozen=True):
    """Words that carry no claim."""

    span: Span
    text: str


class NotUnderstood(Struct, frozen=True):
    """Text that looks like a move and could not be read."""

    span: Span
    text: str


Statement = Turn | Outcome | Topic | Marker | Claim | Reason | Break | Aside | NotUnderstood
