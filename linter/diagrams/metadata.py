"""The position in the metadata of a picture, so that it can be compared with the words around it.

PNG: a tEXt chunk with the keyword "FEN" (PNG specification, third edition, 11.3.3.2). SVG: the element `metadata`.
`manuscripts.pictures` reads both.
"""

import struct
import zlib

import chess

_SIGNATURE = 8  # bytes
_HEADER = 25  # bytes of the chunk IHDR, which comes first


def fen_of(board: chess.Board) -> str:
    """Return the position as it is written into a picture."""
    return board.fen(en_passant="fen")


def svg_metadata(board: chess.Board) -> str:
    """Return the element that names the position in an SVG."""
    return f"<metadata>FEN: {fen_of(board)}</metadata>"


def with_fen(png: bytes, board: chess.Board) -> bytes:
    """Return a PNG with the position in it."""
    body = b"tEXt" + b"FEN\0" + fen_of(board).encode("ascii")
    chunk = struct.pack(">I", len(body) - 4) + body + struct.pack(">I", zlib.crc32(body))
    place = _SIGNATURE + _HEADER
    return png[:place] + chunk + png[place:]
