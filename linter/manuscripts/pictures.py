"""What a picture says of itself: the FEN that `keyproof diagram` puts into the PNG and SVG it draws.

PNG: a tEXt or iTXt chunk with the keyword "FEN" (PNG specification, third edition, 11.3.3). SVG: the element
`metadata` (SVG 2, 5.9) with "FEN: " before the position. Only the start of a picture is looked at.
"""

import re
import struct

import chess

from ..diagrams.reading import KEYWORD

_SIGNATURE = b"\x89PNG\r\n\x1a\n"
_IN_SVG = re.compile(rb"<metadata[^<>]{0,200}>\s{0,20}FEN:\s{0,5}([^<>]{10,120}?)\s{0,20}</metadata>")


def fen_of(data: bytes) -> str | None:
    """Return the position that a picture names, if it is one. Never raises for any data."""
    said = _in_png(data) if data.startswith(_SIGNATURE) else _in_svg(data)
    if said is None:
        return None
    try:
        text = said.decode("ascii").strip()
        return chess.Board(text).fen(en_passant="fen")
    except ValueError:
        return None


def is_picture(data: bytes) -> bool:
    """Tell a PNG or an SVG."""
    return data.startswith(_SIGNATURE) or b"<svg" in data[:2000]


def _in_svg(data: bytes) -> bytes | None:
    found = _IN_SVG.search(data[: 64 << 10])
    return found[1] if found else None


def _in_png(data: bytes) -> bytes | None:
    place = len(_SIGNATURE)
    while place + 8 <= len(data):
        length, kind = struct.unpack(">I4s", data[place : place + 8])
        body = data[place + 8 : place + 8 + length]
        if kind in (b"IDAT", b"IEND"):
            return None
        keyword, _, rest = body.partition(b"\0")
        if keyword == KEYWORD and kind == b"tEXt":
            return rest
        if keyword == KEYWORD and kind == b"iTXt" and rest[:1] == b"\0":
            return rest[2:].split(b"\0", 2)[-1]
        place += length + 12
    return None
