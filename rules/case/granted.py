"""What a puzzle is granted, and what a study claims: values of a case."""

import chess
from keyproof.grammar.spans import Span
from msgspec import Struct

from ..play import castling
from ..reading.reading import Mention


class Granted(Struct, frozen=True):
    """A castling right the FEN denies and the text uses, with king and rook at home."""

    mention: Mention
    colour: chess.Color
    wing: str

    @property
    def corner(self) -> chess.Bitboard:
        """The home square of the rook, as a board keeps the right."""
        return chess.BB_SQUARES[castling.rook_home(self.colour, self.wing)]


class Result(Struct, frozen=True):
    """What a study claims: `value` 1, the side `colour` wins, or 0, it draws."""

    colour: chess.Color
    value: int
    span: Span
