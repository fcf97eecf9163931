"""The position of a picture that keyproof drew: an SVG says it with its men, a PNG carries it as text.

Sources: SVG 2, PNG (Third Edition) 11.3.3 "textual information".
"""

import struct
import zlib
from xml.parsers import expat

import chess

from .svg import CELL

KEYWORD = b"FEN"
"""The keyword of the text in a PNG: our own, since those that the standard registers may hold any words."""

_SIGNATURE = b"\x89PNG\r\n\x1a\n"
_LARGEST = 4_000_000


class NoPicture(ValueError):
    """No position can be told from a picture; the message says why."""


def with_position(png: bytes, board: chess.Board) -> bytes:
    """Return a PNG that carries its position, as a FEN, in a text before its pixels."""
    body = KEYWORD + b"\0" + board.fen(en_passant="fen").encode("latin-1")
    chunk = struct.pack(">I", len(body)) + b"tEXt" + body + struct.pack(">I", zlib.crc32(b"tEXt" + body))
    end = len(_SIGNATURE) + 25  # the header comes first and has 13 bytes of content
    return png[:end] + chunk + png[end:]


def position_of(picture: bytes) -> chess.Board:
    """Return the position of a PNG or SVG that keyproof drew. NoPicture for any other."""
    if len(picture) > _LARGEST:
        raise NoPicture("the picture is too large to be one of ours")
    return _of_png(picture) if picture.startswith(_SIGNATURE) else _of_svg(picture)


def _of_png(picture: bytes) -> chess.Board:
    at = len(_SIGNATURE)
    while at + 8 <= len(picture):
        (size,) = struct.unpack_from(">I", picture, at)
        kind, body = picture[at + 4 : at + 8], picture[at + 8 : at + 8 + size]
        if kind == b"tEXt" and body.startswith(KEYWORD + b"\0"):
            try:
                return chess.Board(body[len(KEYWORD) + 1 :].decode("latin-1"))
            except ValueError:
                break
        at += 12 + size
    raise NoPicture("this picture carries no position: only those that keyproof drew do")


def _of_svg(picture: bytes) -> chess.Board:
    board = chess.Board(None)
    places: list[dict[str, str]] = []
    parser = expat.ParserCreate()

    def begins(name: str, attributes: dict[str, str]) -> None:
        if name == "use":
            places.append(attributes)

    def refuse(*_: object) -> None:
        raise NoPicture("this is no picture that keyproof drew")

    parser.StartElementHandler = begins
    parser.StartDoctypeDeclHandler = refuse  # ours have none; entities could grow without end
    try:
        parser.Parse(picture, True)
        for each in places:
            name = each["href"].removeprefix("#")
            colour, letter = name[:1], name[1:]
            square = chess.square(int(each["x"]) // CELL, 7 - int(each["y"]) // CELL)
            board.set_piece_at(square, chess.Piece.from_symbol(letter if colour == "w" else letter.lower()))
    except (expat.ExpatError, KeyError, ValueError, IndexError) as fault:
        raise NoPicture("this is no picture that keyproof drew") from fault
    if not places:
        raise NoPicture("this picture shows no man: only those that keyproof drew can be read")
    return board
