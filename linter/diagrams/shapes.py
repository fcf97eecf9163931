"""The shapes of a diagram: the men, the hatching and the letters at its edge, drawn for keyproof.

A man is drawn in a square of 100 by 100 units, White below, and is its own mirror image but
for the knight. Coordinates are strokes, so that a drawing looks alike whatever fonts there are.
"""

import chess

# The outlines of each man, filled, then the lines within it.
_FOOT = "M20 89L25 77H75L80 89Z"
_OUTLINES: dict[chess.PieceType, tuple[str, ...]] = {
    chess.PAWN: ("M39 53C39 62 35 69 29 77H71C65 69 61 62 61 53Z", "M36 40A14 14 0 1 1 64 40A14 14 0 1 1 36 40Z"),
    chess.ROOK: ("M26 20H37V29H44V20H56V29H63V20H74V40L65 48V68L71 77H29L35 68V48L26 40Z",),
    chess.KNIGHT: (
        "M31 77C31 63 47 57 48 45C42 50 37 50 33 54L24 47L26 38C32 33 35 27 38 24L37 11L49 19"
        "C66 22 76 38 75 58C75 66 73 71 71 77Z",
    ),
    chess.BISHOP: (
        "M50 21C66 32 71 46 61 60L67 77H33L39 60C29 46 34 32 50 21Z",
        "M44 15A6 6 0 1 1 56 15A6 6 0 1 1 44 15Z",
    ),
    chess.QUEEN: (
        "M19 35L33 58L35 27L45 55L50 21L55 55L65 27L67 58L81 35L71 77H29Z",
        "M14 31A5.5 5.5 0 1 1 25 31A5.5 5.5 0 1 1 14 31Z",
        "M30 22A5.5 5.5 0 1 1 41 22A5.5 5.5 0 1 1 30 22Z",
        "M44.5 16A5.5 5.5 0 1 1 55.5 16A5.5 5.5 0 1 1 44.5 16Z",
        "M59 22A5.5 5.5 0 1 1 70 22A5.5 5.5 0 1 1 59 22Z",
        "M75 31A5.5 5.5 0 1 1 86 31A5.5 5.5 0 1 1 75 31Z",
    ),
    chess.KING: (
        "M50 43C56 30 82 30 81 50C80 62 71 67 71 77H29C29 67 20 62 19 50C18 30 44 30 50 43Z",
        "M45 8H55V15H63V24H55V36H45V24H37V15H45Z",
    ),
}
_LINES: dict[chess.PieceType, str] = {
    chess.PAWN: "",
    chess.ROOK: "M35 48H65M35 68H65",
    chess.KNIGHT: "M42 30L47 32M60 30C66 38 67 50 63 62",
    chess.BISHOP: "M54 33L43 48M39 60H61",
    chess.QUEEN: "M33 67H67",
    chess.KING: "M50 43V66M33 67H67",
}


def hatch(lines: int, stroke: float) -> tuple[float, str]:
    """Return the side of a tile of hatching and its strokes: `lines` tiles to a square, so that it meets the frame.

    `stroke` is the width of a line in units.
    """
    size = 100 / lines
    edge = min(size / 3, 1.8 * stroke)  # a line in the corner of a tile is drawn from both sides of it
    strokes = f"M-{edge:g} {edge:g}L{edge:g} -{edge:g}M-{edge:g} {size + edge:g}L{size + edge:g} -{edge:g}"
    strokes += f"M{size - edge:g} {size + edge:g}L{size + edge:g} {size - edge:g}"
    return size, f'<path d="{strokes}" stroke="#000" stroke-width="{stroke:g}"/>'


_GLYPHS = {
    "a": "M8 9.5A4 4.5 0 1 0 0 9.5A4 4.5 0 1 0 8 9.5M8 5V14",
    "b": "M0 0V14M0 9.5A4 4.5 0 1 0 8 9.5A4 4.5 0 1 0 0 9.5",
    "c": "M7.5 7A4 4.5 0 1 0 7.5 12",
    "d": "M8 9.5A4 4.5 0 1 0 0 9.5A4 4.5 0 1 0 8 9.5M8 0V14",
    "e": "M0 9.5H8A4 4.5 0 1 0 7 12.5",
    "f": "M7.5 .5C4.5 -.5 3 1 3 4V14M.5 5.5H6.5",
    "g": "M8 9.5A4 4.5 0 1 0 0 9.5A4 4.5 0 1 0 8 9.5M8 5V14.5C8 18.5 2 18.5 1 16.5",
    "h": "M0 0V14M0 9C1 4 8 3.5 8 9V14",
    "1": "M1 3L4.5 0V14",
    "2": "M.5 3.5C1 -1.5 8 -1 7.5 4C7 8 1 10 0 14H8",
    "3": "M.5 0H7.5L3.5 5.5C9 5.5 9 14 3.5 14C2 14 1 13.5 0 12.5",
    "4": "M6 14V0L0 10H8.5",
    "5": "M7.5 0H1.5L.8 6C4 4 8 6 8 9.5C8 14.5 2 15 0 12.5",
    "6": "M7 .5C2 1.5 0 6 0 9.5A4 4.5 0 1 0 8 9.5A4 4.5 0 1 0 0 9.5",
    "7": "M0 0H8L3 14",
    "8": "M4 6.5A3.3 3.2 0 1 0 4 0A3.3 3.2 0 1 0 4 6.5A4 3.8 0 1 0 4 14A4 3.8 0 1 0 4 6.5",
}


def man(piece: chess.Piece, line: float = 4.0) -> str:
    """Return a man as SVG: a rim of paper that keeps the hatching off, the body, its lines, of this width in units."""
    outlines = "".join((*_OUTLINES[piece.piece_type], _FOOT))
    paper, ink = "#fff", "#000"
    body, lines = (paper, ink) if piece.color == chess.WHITE else (ink, paper)
    inner = _LINES[piece.piece_type] + "M25 77H75"
    return (
        f'<path d="{outlines}" fill="{paper}" stroke="{paper}" stroke-width="{line + 7:g}" stroke-linejoin="round"/>'
        f'<path d="{outlines}" fill="{body}" stroke="{ink}" stroke-width="{line:g}" stroke-linejoin="round"/>'
        f'<path d="{inner}" fill="none" stroke="{lines}" stroke-width="{0.9 * line:g}" stroke-linecap="round"/>'
    )


def glyph(sign: str) -> str:
    """Return the strokes of a file letter or rank number, about 8 units wide and 14 high."""
    return _GLYPHS[sign]
