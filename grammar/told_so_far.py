"""What a telling of a position has come to: the men with their squares, those without, and whose words are whose."""

from __future__ import annotations

import chess
from msgspec import Struct, field
from msgspec.structs import replace

from .document import TextFault
from .spans import Span


class Owners(Struct, frozen=True):
    """Whom the words for a side mean where a sentence stands: of who speaks, of whom he speaks to, "his"."""

    own: chess.Color
    hearer: chess.Color
    other: chess.Color

    def of(self, word: str) -> chess.Color:
        """Return the side that "own", "hearer" or "other" means."""
        return self.own if word == "own" else self.hearer if word == "hearer" else self.other


class Man(Struct, frozen=True):
    """A man told by its name, before its square is known. `number` counts several, 0 if nothing does."""

    kind: chess.PieceType
    colour: chess.Color | None
    span: Span
    several: bool = False
    number: int = 0


class Told(Struct):
    """The men told so far, and what the next words go on with."""

    pieces: dict[chess.Square, chess.Piece] = field(default_factory=dict)
    spans: dict[chess.Square, Span] = field(default_factory=dict)
    side: chess.Color | None = None
    named: bool = False  # by its colour
    by_colour: bool = True  # all sides so far
    open: Man | None = None  # whose name goes on for more squares
    last: chess.Square | None = None
    waits: Man | None = None  # named last in the sentence before, and not yet put anywhere
    unowned: list[tuple[Man, chess.Square, Span]] = field(default_factory=list)  # put before their side was named
    mentions: list[Man] = field(default_factory=list)  # that got no square of their own
    faults: list[TextFault] = field(default_factory=list)
    second: bool = False  # another man was put on a square, or a second king

    def copy(self) -> Told:
        """Return the same, to be changed by itself."""
        return replace(
            self,
            pieces=dict(self.pieces),
            spans=dict(self.spans),
            unowned=list(self.unowned),
            mentions=list(self.mentions),
            faults=list(self.faults),
        )

    def whole(self) -> bool:
        """Tell whether both kings stand there, once."""
        kings = sorted(piece.color for piece in self.pieces.values() if piece.piece_type == chess.KING)
        return kings == [chess.BLACK, chess.WHITE]

    def count(self, man: Man) -> int:
        """Return how many men of this kind, and of its side if that is known, have a square."""
        return sum(piece.piece_type == man.kind and man.colour in (None, piece.color) for piece in self.pieces.values())
