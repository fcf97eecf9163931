"""One way to take the beads of a telling so far, and a telling that is over: values only."""

import chess
from msgspec import Struct

from . import costs

Men = frozenset[tuple[chess.Square, int]]  # kind, and 8 more for White

WHITE = 8
_KINGS = frozenset((chess.KING, chess.KING + WHITE))


class Way(Struct, frozen=True):
    """One way to take the beads up to some place."""

    cost: int = 0
    men: Men = frozenset()
    side: int | None = None
    side_before: int | None = None
    aside: bool = False  # the side was named of a man by whom another stands
    man: int = 0  # kind that waits for its square, or goes on for more
    open: bool = False  # it has got one already
    tight: bool = False  # men have been printed as letters right before their squares
    wanted: int = 0  # squares that a count still wants of it
    squares: tuple[int, ...] = ()  # wait for their man
    last: tuple[chess.Square, int] | None = None
    back: bool = False  # what was told last is taken back
    words: int = 0  # since the last man or square
    joined: bool = True  # by "and" or a comma
    apart: int = 0  # what stands between it and the last man or square, as a cost
    to: bool = False  # "to" stands before, or "not"
    none: bool = False  # "no" or "not" stands before
    put_here: bool = False  # since the last sentence began
    rank: int | None = None  # on which men follow: "Seventh: black pawn on d"
    file: int | None = None  # the same: "a-file: White king on the first"
    by: str = ""  # whether men are told by ranks or files, or each with its side
    whole: bool = False  # both kings stand there

    @property
    def pauses(self) -> bool:
        """Whether a sentence that ends here has put no man; one of a single word, "Right.", is none."""
        return not self.put_here and self.words > 1

    def left(self) -> int:
        """Return what it costs that a man named last gets no square."""
        return self.passed(self.man) if self.man and not self.open else 0

    def passed(self, kind: int) -> int:
        """Return what it costs that a man of a kind is named and put nowhere: little where one stands already."""
        if self.none:
            return 0
        stands = any(man % WHITE == kind for _, man in self.men)
        return costs.SPOKEN_OF if stands else costs.MAN_PASSED


class Ended(Struct, frozen=True):
    """A telling that is over: the men, what it costs, and the bead before which it ended, which may end a sentence."""

    cost: int
    men: Men
    end: int
    stops: bool

    def short_of(self, other: "Ended") -> bool:
        """Tell whether this only leaves out men that another puts, and does not end with a sentence before them."""
        return self.men < other.men and not (self.stops and self.end < other.end)

    @property
    def rank(self) -> int:
        """What ways that end at different places are compared by: more men are better, but half as much as within."""
        return self.cost - costs.PUT // 2 * len(self.men)

    @property
    def pieces(self) -> dict[chess.Square, chess.Piece]:
        """The men on their squares."""
        return {square: chess.Piece(man % WHITE, man > WHITE) for square, man in sorted(self.men)}


def both_kings(men: Men) -> bool:
    """Tell whether both kings stand somewhere."""
    return {man for _, man in men} >= _KINGS
