"""What a puzzle is granted, and what a study claims: values of a case."""

import chess
from keyproof.grammar.spans import Span
from msgspec import Struct

from ..play import castling
from ..reading.reading import Mention, Reading, State


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


def denied_castling(reading: Reading) -> Granted | None:
    """Return the first castling of a text that nothing but a missing right forbids, None where there is none."""
    for mention in reading.mentions:
        if mention.phrase.castling is None or mention.state is not State.impossible:
            continue
        node = mention.at[0]
        if mention.phrase.colour not in (None, node.board.turn):
            continue  # no right of the side to move is in question
        for wing in ("short", "long"):
            if mention.phrase.castling not in ("either", wing):
                continue
            found = Granted(mention, node.board.turn, wing)
            missing = not reading.diagram.board.castling_rights & found.corner
            if missing and castling.why_not_castle(node, wing)[0] == "castling-right-missing":
                return found
    return None
