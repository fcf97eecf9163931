"""The letters, words and signs that name a man or a side.

Piece letters are free to each country (FIDE Laws, C.3). English K Q R B N: C.2; S for
the knight: problem literature; the other tables, the pawn letters, the words and the
names of the sides: common practice, no source.
"""

from itertools import chain

import chess


def _table(letters: str) -> dict[str, chess.PieceType]:
    """Make a table of letters given in the order king, queen, rook, bishop, knight, pawn; "-": none, "/": either."""
    kinds = (chess.KING, chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT, chess.PAWN)
    table: dict[str, chess.PieceType] = {}
    for kind, names in zip(kinds, letters.split(), strict=True):
        if names != "-":
            table.update(dict.fromkeys(names.split("/"), kind))
    return table


LANGUAGES: dict[str, dict[str, chess.PieceType]] = {
    "en": _table("K Q R B N/S/Kt P"),
    "de": _table("K D T L S B"),
    "fr": _table("R D T F C P"),
    "es": _table("R D T A C P"),
    "it": _table("R D T A C P"),
    "nl": _table("K D T L P pi"),  # P is the knight (paard)
    "pt": _table("R D T B C P"),
    "pl": _table("K H W G S P"),
    "sv": _table("K D T L S B"),
    "ru": _table("Кр Ф Л С К П/п"),
}
"""Piece letters by language (two-letter code), English first: where several tables fit, the first one is taken."""

FIGURINES: dict[str, chess.Piece] = {
    sign: chess.Piece.from_symbol(symbol) for sign, symbol in zip("♔♕♖♗♘♙♚♛♜♝♞♟", "KQRBNPkqrbnp", strict=True)
}
"""The chess symbols of Unicode (U+2654 to U+265F)."""

WORDS: dict[str, dict[str, chess.PieceType]] = {
    language: _table(words)
    for language, words in {
        "en": "king queen/queens rook/rooks bishop/bishops knight/knights pawn/pawns",
        "de": "könig dame/damen turm/türme läufer springer bauer/bauern",
        "fr": "roi dame/dames tour/tours fou/fous cavalier/cavaliers pion/pions",
        "es": "rey dama/damas torre/torres alfil/alfiles caballo/caballos peón/peones",
        "it": "re donna/donne torre/torri alfiere/alfieri cavallo/cavalli pedone/pedoni",
        "nl": "koning dame/dames toren/torens loper/lopers paard/paarden pion/pionnen",
        "pt": "rei dama/damas torre/torres bispo/bispos cavalo/cavalos peão/peões",
        "pl": "król hetman/hetmany wieża/wieże goniec/gońce skoczek/skoczki pion/piony",
        "sv": "kung dam/damer torn löpare springare bonde/bönder",
        "ru": "король ферзь/ферзи ладья/ладьи слон/слоны конь/кони пешка/пешки",
    }.items()
}
"""Names of the men in lower case, singular and plural, by language."""

SIDES: dict[str, chess.Color] = {
    **dict.fromkeys(
        chain(
            ("white", "wh", "w", "weiß", "weiss", "blancs", "blanches", "blancas", "blanco", "bianco", "bianchi"),
            ("wit", "brancas", "białe", "vit", "vita", "белые"),
        ),
        chess.WHITE,
    ),
    **dict.fromkeys(
        chain(
            ("black", "bl", "b", "schwarz", "s", "noirs", "noires", "negras", "negro", "nero", "neri"),
            ("zwart", "z", "pretas", "czarne", "svart", "svarta", "черные", "чёрные"),
        ),
        chess.BLACK,
    ),
}
"""Headings of a piece list in lower case, full or shortened."""
