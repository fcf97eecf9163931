"""Which man a sign of a drawn board names, and whose it is.

Small letters are Black's. Where a mark tells the colours ("P*", "(P)"), the men that have it are; of "^K" and "#K"
the second. A letter for the side may stand before or behind that of the man: "wK", "BK", "sT", "Kb".
"""

from collections.abc import Sequence

import chess
from msgspec.structs import replace

from .coloured_men import PAIRS
from .letters import FIGURINES, LANGUAGES
from .men_named import choose_language
from .ranks import Cell

_FEWEST_FILLERS = 16


class Names:
    """The men of one board by their signs."""

    def __init__(self, men: Sequence[Cell]) -> None:
        self._sided = _sides(men)
        marks = {cell.mark for cell in men}
        self._black_mark: str | None = None
        if marks != {""} and not any(cell.letter.islower() or cell.sign in FIGURINES for cell in men):
            self._black_mark = "#" if marks == {"^", "#"} else next(iter(sorted(marks - {""})))
        named = [self.of(cell) for cell in men if cell.sign not in FIGURINES]
        self._letters = LANGUAGES[choose_language(named, frozenset())]

    def of(self, cell: Cell) -> tuple[str, chess.Color]:
        """Return the letter of a man, as a capital, and his colour."""
        if self._sided is not None and len(cell.sign) == 2:
            pair, place = self._sided
            return cell.sign[1 - place].upper(), cell.sign[place].lower() == pair[0]
        if self._black_mark is not None:
            return cell.letter.upper(), cell.mark != self._black_mark
        return cell.letter.upper(), cell.colour

    def man(self, cell: Cell) -> chess.Piece | None:
        """Return the man that a sign names, None if it names none."""
        letter, colour = self.of(cell)
        kind = self._letters.get(letter)
        return None if kind is None else chess.Piece(kind, colour)


def _sides(men: Sequence[Cell]) -> tuple[str, int] | None:
    """Return the letters of the two sides and where they stand in the signs of a board, None if they do not."""
    signs = [cell.sign for cell in men if len(cell.sign) == 2 and not cell.mark]
    for place in (0, 1):
        letters = {sign[place].lower() for sign in signs}
        for pair in PAIRS:
            if letters == set(pair) or (len(letters) == 1 and letters <= set(pair) and pair == PAIRS[0]):
                return pair, place
    return None


def emptied(ranks: Sequence[tuple[Cell, ...]]) -> list[tuple[Cell, ...]]:
    """Return the ranks with nothing on the squares of a sign that stands on all that are empty, such as "x" or "0"."""
    fillers = [cell.sign for cells in ranks for cell in cells if cell.filler]
    others = any(cell.empty for cells in ranks for cell in cells)
    if len(set(fillers)) != 1 or others or len(fillers) < _FEWEST_FILLERS:
        return list(ranks)
    return [tuple(replace(cell, sign="") if cell.filler else cell for cell in cells) for cells in ranks]
