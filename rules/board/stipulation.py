"""What a puzzle asks for: the symbol under the diagram."""

import re
from typing import Literal, get_args

import chess
from msgspec import Struct

Genre = Literal["#", "s#", "r#", "=", "h#", "h="]

MOST_MOVES = 50

_SYMBOL = re.compile(r"(?P<genre>h#|h=|s#|r#|#|=)(?P<moves>[0-9]{1,3})(?P<half>\.5)?")


class Stipulation(Struct, frozen=True):
    """The genre of a puzzle and its length in moves.

    `#` White mates, `s#` White forces Black to mate, `r#` the same where each side must mate
    when it can, `=` White stalemates, `h#` and `h=` both sides help to mate or stalemate.
    `moves` are those of the side that carries out the aim; `half` marks help play that White
    begins (h#2.5: White, then two moves by each side). Symbols: WFCC Codex, Art. 2; the
    names "White" and "Black" stand for the side that begins and its opponent where the diagram
    says otherwise.
    """

    genre: Genre
    moves: int
    half: bool = False

    def __post_init__(self) -> None:
        if self.genre not in get_args(Genre):
            raise ValueError(f"unknown genre {self.genre!r}: expected one of {', '.join(get_args(Genre))}")
        if self.half and not self.help_play:
            raise ValueError(f"only help play can have half a move, not {self.genre!r}")
        least = 0 if self.half else 1
        if not least <= self.moves <= MOST_MOVES:
            raise ValueError(f"the number of moves must be {least} to {MOST_MOVES}, not {self.moves}")

    @classmethod
    def parse(cls, symbol: str) -> "Stipulation":
        """Read a symbol such as "#2", "s#3", "=4" or "h#2.5"; ValueError says what is wrong with it."""
        match = _SYMBOL.fullmatch(symbol.strip())
        if match is None:
            raise ValueError(
                f"not a stipulation: {symbol!r} (expected #, s#, r#, =, h# or h= and a number of moves, "
                "such as #2 or h#2.5)"
            )
        genre: Genre = match["genre"]  # type: ignore[assignment]
        return cls(genre, int(match["moves"]), match["half"] is not None)

    @property
    def symbol(self) -> str:
        """The symbol as printed under a diagram."""
        return f"{self.genre}{self.moves}{'.5' if self.half else ''}"

    @property
    def help_play(self) -> bool:
        """True where both sides work for the same end."""
        return self.genre in ("h#", "h=")

    @property
    def first_to_move(self) -> chess.Color:
        """The side that begins by convention: Black in help play of whole moves, else White."""
        return chess.BLACK if self.help_play and not self.half else chess.WHITE

    @property
    def plies(self) -> int:
        """The number of single moves by either side up to the aim (a selfmate ends with Black's move)."""
        if self.help_play or self.genre in ("s#", "r#"):
            return 2 * self.moves + self.half
        return 2 * self.moves - 1

    def __str__(self) -> str:
        return self.symbol
