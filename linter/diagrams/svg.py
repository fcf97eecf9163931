"""A position as SVG, White below, in black and white."""

from html import escape

import chess
from msgspec import Struct

from .metadata import svg_metadata
from .shapes import glyph, hatch, man

CELL = 100  # units of a square
ON_A_PAGE = 3.5  # units to a pixel, for diagrams of a hand's breadth on a screen
_MOST_LINES = 10  # of hatching across a square; a small square gets fewer, so that they stay apart
_LEAST_LINES = 3
_RIM = 8  # the frame's line
_MARGIN = 46  # room for the letters and numbers


class Arrow(Struct, frozen=True):
    """An arrow from the middle of one square to the middle of another."""

    start: chess.Square
    end: chess.Square


class Drawing(Struct, frozen=True):
    """What is drawn besides the men: letters and numbers at the edge, rings around squares, arrows."""

    coordinates: bool = True
    marks: tuple[chess.Square, ...] = ()
    arrows: tuple[Arrow, ...] = ()


PLAIN = Drawing()


def described(board: chess.Board) -> str:
    """Say a position in words: "White: king c3, queen c6; Black: king a3, pawns a6, d7"."""
    return "; ".join(f"{name}: {_men(board, colour)}" for name, colour in (("White", True), ("Black", False)))


def _men(board: chess.Board, colour: chess.Color) -> str:
    parts = []
    for kind in (chess.KING, chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT, chess.PAWN):
        squares = [chess.square_name(square) for square in board.pieces(kind, colour)]
        if squares:
            parts.append(f"{chess.piece_name(kind)}{'s' if len(squares) > 1 else ''} {', '.join(squares)}")
    return ", ".join(parts) or "no man"


def symbols(prefix: str = "", dot: float = ON_A_PAGE) -> str:
    """Return the definitions that `picture` uses, once for a page; `prefix` keeps their names apart from others.

    `dot` is the finest thing that can be told apart, in units: what a pixel shows, or a tenth of a millimetre on
    paper. The hatching and the lines of the men are never finer, however small the diagram.
    """
    line = min(max(4.0, 0.9 * dot), 7.0)
    men = "".join(
        f'<symbol id="{man_id(piece, prefix)}" viewBox="0 0 100 100" overflow="visible">{man(piece, line)}</symbol>'
        for piece in (chess.Piece(kind, colour) for colour in chess.COLORS for kind in chess.PIECE_TYPES)
    )
    lines = min(max(int(CELL / (3.2 * dot)), _LEAST_LINES), _MOST_LINES)
    size, strokes = hatch(lines, max(1.6, 0.7 * dot))
    pattern = f'<pattern id="{prefix}hatch" width="{size:g}" height="{size:g}" patternUnits="userSpaceOnUse">'
    return f"<defs>{pattern}{strokes}</pattern>{men}</defs>"


def man_id(piece: chess.Piece, prefix: str = "") -> str:
    """Return the name of a man's symbol: "wK", "bP"."""
    return f"{prefix}{'w' if piece.color else 'b'}{piece.symbol().upper()}"


def side_of(drawing: Drawing) -> int:
    """Return the width of a diagram in units, which is its height too."""
    return 8 * CELL + 2 * _RIM + (_MARGIN if drawing.coordinates else 0)


def picture(
    board: chess.Board, drawing: Drawing = PLAIN, *, prefix: str = "", dot: float = ON_A_PAGE
) -> tuple[str, tuple[int, int]]:
    """Return the parts of a diagram and its width and height in units; `symbols` must stand in the same document."""
    left = _MARGIN if drawing.coordinates else 0
    side = side_of(drawing)
    parts = [_ground(prefix)]
    parts.extend(_ring(square, dot) for square in drawing.marks)
    parts.append(f'<g class="men">{men(board, prefix)}</g>')
    parts.extend(_arrow(arrow) for arrow in drawing.arrows)
    if drawing.coordinates:
        parts.append(_edge())
    return f'<g transform="translate({left + _RIM} {_RIM})">{"".join(parts)}</g>', (side, side)


def men(board: chess.Board, prefix: str = "") -> str:
    """Return the men of a position, each as a use of its symbol."""
    return "".join(
        f'<use href="#{man_id(piece, prefix)}" x="{x}" y="{y}" width="{CELL}" height="{CELL}"/>'
        for square, piece in sorted(board.piece_map().items())
        for x, y in (_corner(square),)
    )


def standalone(
    board: chess.Board, drawing: Drawing = PLAIN, *, width: str, dot: float = ON_A_PAGE, title: str = ""
) -> str:
    """Return a whole SVG file, with the FEN in its metadata.

    `width` is as SVG has it, "480" for pixels or "60mm"; `dot` as in `symbols`.
    """
    inside, (wide, high) = picture(board, drawing, dot=dot)
    heading = f"<title>{escape(title)}</title>" if title else ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" width="{width}" height="{width}" '
        'role="img">'
        f"{heading}<desc>{escape(described(board))}</desc>{svg_metadata(board)}{symbols(dot=dot)}"
        f'<rect width="{wide}" height="{high}" fill="#fff"/>{inside}</svg>\n'
    )


def _corner(square: chess.Square) -> tuple[int, int]:
    return chess.square_file(square) * CELL, (7 - chess.square_rank(square)) * CELL


def _middle(square: chess.Square) -> tuple[float, float]:
    x, y = _corner(square)
    return x + CELL / 2, y + CELL / 2


def _ground(prefix: str) -> str:
    """Return the empty board: paper, the hatched squares, the frame."""
    dark = "".join(f"M{x} {y}h{CELL}v{CELL}h-{CELL}z" for x, y in map(_corner, chess.SquareSet(chess.BB_DARK_SQUARES)))
    side, half = 8 * CELL, _RIM / 2
    return (
        f'<rect width="{side}" height="{side}" fill="#fff"/><path d="{dark}" fill="url(#{prefix}hatch)"/>'
        f'<rect x="-{half}" y="-{half}" width="{side + _RIM}" height="{side + _RIM}" fill="none" '
        f'stroke="#000" stroke-width="{_RIM - 2}"/>'
    )


def _ring(square: chess.Square, dot: float) -> str:
    """Return a ring that leaves its square as it is, light or dark, with a rim of paper on both sides."""
    x, y = _middle(square)
    wide = max(5.0, 1.3 * dot)
    return "".join(
        f'<circle cx="{x:g}" cy="{y:g}" r="43" fill="none" stroke="{colour}" stroke-width="{stroke:g}"/>'
        for colour, stroke in (("#fff", 2.2 * wide), ("#000", wide))
    )


def _arrow(arrow: Arrow) -> str:
    (x1, y1), (x2, y2) = _middle(arrow.start), _middle(arrow.end)
    length = ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5
    ux, uy = (x2 - x1) / length, (y2 - y1) / length
    x1, y1, x2, y2 = x1 + 30 * ux, y1 + 30 * uy, x2 - 18 * ux, y2 - 18 * uy
    neck_x, neck_y = x2 - 26 * ux, y2 - 26 * uy
    points = [(x2, y2), (neck_x - 15 * uy, neck_y + 15 * ux), (neck_x + 15 * uy, neck_y - 15 * ux)]
    head = "L".join(f"{x:.1f} {y:.1f}" for x, y in points)
    path = f"M{x1:.1f} {y1:.1f}L{neck_x:.1f} {neck_y:.1f}M{head}Z"
    return "".join(
        f'<path d="{path}" fill="{colour}" stroke="{colour}" stroke-width="{wide}" stroke-linejoin="round"/>'
        for colour, wide in (("#fff", 18), ("#000", 8))
    )


def _edge() -> str:
    ranks = [(glyph(str(rank + 1)), -_RIM - 26, (7 - rank) * CELL + 38) for rank in range(8)]
    files = [(glyph(chess.FILE_NAMES[file]), file * CELL + 43, 8 * CELL + _RIM + 7) for file in range(8)]
    drawn = "".join(f'<path d="{d}" transform="translate({x} {y}) scale(1.7)"/>' for d, x, y in ranks + files)
    return f'<g fill="none" stroke="#000" stroke-width="1.7" stroke-linecap="round">{drawn}</g>'
