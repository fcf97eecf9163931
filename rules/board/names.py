"""Sides, men and squares as a sentence names them."""

import chess


def side(colour: chess.Color) -> str:
    """Name a side as a sentence does: "White" or "Black"."""
    return "White" if colour == chess.WHITE else "Black"


def man(piece: chess.Piece) -> str:
    """Name a man: "white rook"."""
    return f"{chess.COLOR_NAMES[piece.color]} {chess.piece_name(piece.piece_type)}"


def man_at(board: chess.Board, square: chess.Square) -> str:
    """Name the man on an occupied square: "the white rook on d4"."""
    piece = board.piece_at(square)
    assert piece is not None
    return f"the {man(piece)} on {chess.square_name(square)}"


def listing(words: list[str], last: str = "and") -> str:
    """Join words as a sentence does: "d4, e5 and f6"."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {last} {words[-1]}"


def name(square: chess.Square) -> str:
    """Name a square."""
    return chess.square_name(square)
