"""How a house prints its moves: one form for each sign, where several are in use.

The forms: FIDE Laws C.9 and C.13 (signs), C.11 (promotion), C.3 (letters); PGN standard
8.2.3.3 (castling with the letter O, promotion with "="); the others common practice, no source.
"""

import chess
from keyproof.grammar.letters import FIGURINES, LANGUAGES
from msgspec import Struct

FORMS: dict[str, tuple[str, ...]] = {
    "capture": ("x", ":", "×", ""),
    "check": ("+", "†", ""),
    "mate": ("#", "++", "‡", ""),
    "castling": ("0-0", "O-O"),
    "promotion": ("=Q", "Q", "(Q)", "/Q"),
}
"""The forms of each sign; "" is to print none."""

FIGURES = "figurines"
MEN = (chess.KING, chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT)


class House(Struct, frozen=True):
    """The forms a house prints; None: it does not mind.

    `pieces` are the letters of king, queen, rook, bishop and knight in one word ("KQRBS", "KDTLS";
    apart if one has two signs), or "figurines". `sources`: every puzzle says where it was first printed.
    """

    pieces: str | None = None
    capture: str | None = None
    check: str | None = None
    mate: str | None = None
    castling: str | None = None
    promotion: str | None = None
    sources: bool = False

    def __post_init__(self) -> None:
        for name, known in FORMS.items():
            form = getattr(self, name)
            if form is not None and form not in known:
                raise ValueError(f"{name} is one of {', '.join(map(repr, known))}, not {form!r}")
        if self.pieces not in (None, FIGURES):
            self.letters  # noqa: B018  # it raises where they are none

    @property
    def letters(self) -> dict[chess.PieceType, str]:
        """The letter of each man; ValueError where `pieces` names none."""
        pieces = self.pieces or ""
        letters = pieces.split() if " " in pieces else list(pieces)
        known = {
            kind: {letter for table in LANGUAGES.values() for letter in table if table[letter] == kind} for kind in MEN
        }
        if len(letters) != len(MEN) or any(letters[place] not in known[kind] for place, kind in enumerate(MEN)):
            raise ValueError(
                f'pieces are the letters of king, queen, rook, bishop and knight, such as "KQRBN" or "KDTLS", '
                f'or "{FIGURES}", not {self.pieces!r}'
            )
        return dict(zip(MEN, letters, strict=True))

    def man(self, kind: chess.PieceType) -> str:
        """Return the sign of a man as the house prints it."""
        if self.pieces == FIGURES:
            return next(sign for sign, man in FIGURINES.items() if man == chess.Piece(kind, chess.WHITE))
        return self.letters[kind]

    def printed(self, san: str) -> str:
        """Return a move in SAN, or the English letter of a man, as the house prints it."""
        signs = {"capture": "x", "check": "+", "mate": "#"}
        promoted = san.partition("=")[2][:1]
        if promoted and self.promotion is not None:
            san = san.replace(f"={promoted}", self.promotion.replace("Q", promoted))
        if san.startswith("O"):
            san = san.replace("O-O", "0-0").replace("0-O", "0-0") if self.castling == "0-0" else san
        elif self.pieces is not None:
            letters = {chess.piece_symbol(kind).upper(): self.man(kind) for kind in MEN}
            san = "".join(letters.get(sign, sign) for sign in san)
        for name, sign in signs.items():
            form = getattr(self, name)
            if form is not None:
                san = san.replace(sign, form)
        return san
