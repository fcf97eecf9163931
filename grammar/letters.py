"""The letters, words and signs that name a man or a side.

Piece letters are free to each country (FIDE Laws, C.3). English K Q R B N: C.2; S for
the knight: problem literature; the other tables, the pawn letters, the words and the
names of the sides: common practice, no source.
"""

import re

import chess

_KINDS = (chess.KING, chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT, chess.PAWN)


def _men(names: str) -> dict[str, chess.PieceType]:
    """Make a table from names in the order king to pawn, several for one man joined with a slash."""
    kinds = zip(_KINDS, names.split(), strict=True)
    return {name: kind for kind, several in kinds for name in several.split("/")}


def _sides(white: str, black: str) -> dict[str, chess.Color]:
    return dict.fromkeys(white.split(), chess.WHITE) | dict.fromkeys(black.split(), chess.BLACK)


LANGUAGES: dict[str, dict[str, chess.PieceType]] = {
    "en": _men("K Q R B N/S/Kt P"),
    "de": _men("K D T L S B"),
    "fr": _men("R D T F C P"),
    "es": _men("R D T A C P"),
    "it": _men("R D T A C P"),
    "nl": _men("K D T L P pi"),
    "pt": _men("R D T B C P"),
    "pl": _men("K H W G S P"),
    "sv": _men("K D T L S B"),
    "ru": _men("Кр Ф Л С К П/п"),
}
"""Piece letters by language (two-letter code). English is first: of several that fit, the first is taken."""

_PRINTED = sorted(
    {letter for table in LANGUAGES.values() for letter in table}, key=lambda letter: (-len(letter), letter)
)
ANY_LETTER = rf"(?:{'|'.join(_PRINTED)})"
"""The pattern of a piece letter of any language."""

WORDS: dict[str, dict[str, chess.PieceType]] = {
    "en": _men("king queen/queens rook/rooks bishop/bishops knight/knights pawn/pawns"),
    "de": _men("könig dame/damen turm/türme läufer springer bauer/bauern"),
    "fr": _men("roi dame/dames tour/tours fou/fous cavalier/cavaliers pion/pions"),
    "es": _men("rey dama/damas torre/torres alfil/alfiles caballo/caballos peón/peones"),
    "it": _men("re donna/donne torre/torri alfiere/alfieri cavallo/cavalli pedone/pedoni"),
    "nl": _men("koning dame/dames toren/torens loper/lopers paard/paarden pion/pionnen"),
    "pt": _men("rei dama/damas torre/torres bispo/bispos cavalo/cavalos peão/peões"),
    "pl": _men("król hetman/hetmany wieża/wieże goniec/gońce skoczek/skoczki pion/piony"),
    "sv": _men("kung dam/damer torn löpare springare bonde/bönder"),
    "ru": _men("король ферзь/ферзи ладья/ладьи слон/слоны конь/кони пешка/пешки"),
}
"""Names of the men in lower case, singular and plural, by language."""

SIDES: dict[str, dict[str, chess.Color]] = {
    "en": _sides("white wh w", "black bl b"),
    "de": _sides("weiß weiss w", "schwarz s"),
    "fr": _sides("blancs blanc", "noirs noir"),
    "es": _sides("blancas blanco", "negras negro"),
    "it": _sides("bianco bianchi", "nero neri"),
    "nl": _sides("wit w", "zwart z"),
    "pt": _sides("brancas branco", "pretas preto"),
    "pl": _sides("białe", "czarne"),
    "sv": _sides("vit vita", "svart svarta"),
    "ru": _sides("белые", "чёрные черные"),
}
"""Headings of a piece list in lower case, full or shortened, by language."""

FIGURINES: dict[str, chess.Piece] = {
    sign: chess.Piece.from_symbol(symbol) for sign, symbol in zip("♔♕♖♗♘♙♚♛♜♝♞♟", "KQRBNPkqrbnp", strict=True)
}
"""The chess symbols of Unicode (U+2654 to U+265F)."""


_ACCENTED = re.compile(r"[éÉ](?:(?=[1-8](?!\d))|(?<![^\W\dA-Z].)(?=x?[a-h][1-8](?!\d)))")  # "Dé5", "Céc5", "éxd5"
_APART = re.compile(  # a blank first, which is soon looked for
    r"([ \u00a0\u202f])(?=[!?])(?:(?<=[a-h][1-8].)|(?<=[a-h][1-8][+#].)|(?<=[0O]-[0O].)|(?<=[0O]-[0O][+#].))"
    r"([!?]{1,2})(?![!?])"
)


def as_notation(text: str) -> str:
    """Return a text of the same length with its moves as notation has them, where French print sets "Dé5+ ?"."""
    return _APART.sub(r"\2\1", _ACCENTED.sub("e", text))
