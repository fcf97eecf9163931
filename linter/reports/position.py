"""A position drawn with characters, White below, and the list of its men.

White's men are capital letters, Black's are small; an empty dark square is a dot and an
empty light one is blank, which reads alike on a light and on a dark background.
"""

import chess

from .terminal import Line, Part, line

_ORDER = (chess.KING, chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT, chess.PAWN)
_EDGE = f"     {'-' * 25}"


def drawn(board: chess.Board) -> list[Line]:
    """Return the diagram, twelve lines of thirty-one columns."""
    rows = [line(_EDGE)]
    for rank in reversed(range(8)):
        squares = [board.piece_at(chess.square(file, rank)) for file in range(8)]
        parts = [Part(f"   {rank + 1}|")]
        for file, piece in enumerate(squares):
            if piece is not None:
                parts.append(Part(f" {piece.symbol()} ", "strong" if piece.color else "plain"))
            else:
                parts.append(Part(" . " if (file + rank) % 2 == 0 else "   "))
        rows.append(Line((*parts, Part(" |"))))
    return [*rows, line(_EDGE), line(f"      {'  '.join('abcdefgh')}")]


def men(board: chess.Board, colour: chess.Color) -> str:
    """Return the men of one side as a list: "Kc1, Qh7, Ng6, a3, e2"; knights have N, pawns no letter."""
    names: list[str] = []
    for kind in _ORDER:
        letter = "" if kind == chess.PAWN else chess.piece_symbol(kind).upper()
        names.extend(letter + chess.square_name(square) for square in board.pieces(kind, colour))
    return ", ".join(names)


def count(board: chess.Board) -> str:
    """Return the number of men, White's first: "(7+5)"."""
    white, black = (chess.popcount(board.occupied_co[colour]) for colour in (chess.WHITE, chess.BLACK))
    return f"({white}+{black})"
