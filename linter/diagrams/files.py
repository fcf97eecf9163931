"""Diagrams as files: SVG, and PNG where the library for it is installed."""

import re

import chess
from msgspec import Struct

from .reading import with_position
from .svg import Drawing, side_of, standalone

PRINT_DOTS = 300  # per inch, for a PNG whose size is given in millimetres
_INCH = 25.4  # millimetres


class NoDiagram(ValueError):
    """A diagram cannot be made as asked; the message says why and what to do."""


class Width(Struct, frozen=True):
    """The width of a diagram: pixels for the screen, or millimetres for print."""

    value: float
    millimetres: bool = False

    @classmethod
    def parse(cls, text: str) -> "Width":
        """Read "480" or "60mm". NoDiagram says what is wrong with it."""
        match = re.fullmatch(r"(\d{1,4}(?:\.\d{1,2})?)\s?(mm)?", text.strip())
        if match is None:
            raise NoDiagram(f"{text!r} is no width: give pixels such as 480, or millimetres such as 60mm")
        width = cls(float(match[1]), match[2] is not None)
        if not 16 <= width.pixels <= 8000:
            raise NoDiagram(f"a width of {text} is {width.pixels} pixels: possible are 16 to 8000")
        return width

    @property
    def attribute(self) -> str:
        """The width as an SVG attribute."""
        return f"{self.value:g}{'mm' if self.millimetres else ''}"

    def dot(self, units: int) -> float:
        """The finest thing to be told apart, a pixel or a tenth of a millimetre, in units of a diagram of so many."""
        return units / self.value / (10 if self.millimetres else 1)

    @property
    def pixels(self) -> int:
        """The width in the pixels of a PNG."""
        return round(self.value / _INCH * PRINT_DOTS if self.millimetres else self.value)


def as_svg(board: chess.Board, drawing: Drawing, width: Width, title: str = "") -> bytes:
    """Return a diagram as a file in SVG."""
    return standalone(board, drawing, width=width.attribute, dot=width.dot(side_of(drawing)), title=title).encode()


def as_png(board: chess.Board, drawing: Drawing, width: Width, title: str = "") -> bytes:
    """Return a diagram as a PNG with its FEN in it. NoDiagram if the library that draws it is not installed."""
    try:
        from resvg_py import svg_to_bytes
    except ImportError:
        raise NoDiagram("a PNG needs the library resvg-py: pip install 'keyproof[png]', or write an .svg") from None
    drawn = standalone(board, drawing, width=str(width.pixels), dot=width.dot(side_of(drawing)), title=title)
    png: bytes = svg_to_bytes(svg_string=drawn, width=width.pixels, skip_system_fonts=True)
    return with_position(png, board)
