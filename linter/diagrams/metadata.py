"""The position in the metadata of an SVG, so that it can be compared with the words around it.

`reading` puts it into a PNG; `manuscripts.pictures` reads both.
"""

import chess


def fen_of(board: chess.Board) -> str:
    """Return the position as it is written into a picture."""
    return board.fen(en_passant="fen")


def svg_metadata(board: chess.Board) -> str:
    """Return the element that names the position in an SVG."""
    return f"<metadata>FEN: {fen_of(board)}</metadata>"
