"""What the names of the men in a list mean: letters, words and figurines, and squares as Black counts them."""

from collections.abc import Iterable, Mapping, Set

import chess

from .letters import FIGURINES, LANGUAGES
from .roster import NAMES, PAWNS


def letter_of(name: str) -> str:
    """Return a printed name as it stands in the tables of letters; a small letter as a capital."""
    known = any(name in table for table in LANGUAGES.values())
    return name if known or len(name) > 1 else name.upper()


def as_white_counts(square: str) -> str:
    """Return the algebraic name of a square of which Black counts the rank."""
    return f"{square[0]}{9 - int(square[1])}"


def kind_of(name: str, table: Mapping[str, chess.PieceType]) -> chess.PieceType | None:
    """Return the man that a name means where `table` has the letters, None if it means none."""
    if name in FIGURINES:
        return FIGURINES[name].piece_type
    if name == PAWNS:
        return chess.PAWN
    if name == "p" and table.get("P") == chess.KNIGHT:
        return chess.PAWN  # "Pc8, ph5": in Dutch the great letter is the knight's
    return NAMES.get(name.lower()) or table.get(letter_of(name))


def choose_language(men: Iterable[tuple[str, chess.Color]], hint: Set[str]) -> str:
    """Return the language whose letters fit the men best, each given as (letter, colour).

    More letters known count first, then that each side has one king, then `hint`, the
    languages of the headings; of equals the first in `LANGUAGES` is taken.
    """
    printed: dict[str, list[chess.Color]] = {}
    for letter, colour in men:
        printed.setdefault(letter, []).append(colour)

    def fit(language: str) -> tuple[int, int, bool]:
        table = LANGUAGES[language]
        known = printed.keys() & table.keys()
        kings = [colour for letter in known if table[letter] == chess.KING for colour in printed[letter]]
        return len(known), (kings.count(chess.WHITE) == 1) + (kings.count(chess.BLACK) == 1), language in hint

    return max(LANGUAGES, key=fit)
