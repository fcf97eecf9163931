"""Reasons that no position can make true: a bishop on e6 guards no square that is not on its diagonals."""

import chess
from keyproof.grammar.statements import Man, Reason
from msgspec.structs import replace

_LINES = (chess.QUEEN, chess.ROOK, chess.BISHOP)


def impossible(reason: Reason) -> str:
    """Say why a reason is false wherever its men stand as it says; "" where a position may make it true."""
    if reason.also is not None:
        first, second = (impossible(replace(reason, other=man, also=None)) for man in (reason.other, reason.also))
        return "" if len(reason.squares) > 1 else first or second  # of several squares each may guard some
    by = reason.other
    if by is None or by.moved or len(by.squares) != 1 or len(by.kinds) != 1 or reason.negated or reason.count:
        return ""
    (square,), (kind,) = by.squares, by.kinds
    targets = reason.squares or (reason.man.squares if reason.man is not None and not reason.man.moved else ())
    if reason.kind == "pinned":
        missed = [each for each in targets if kind not in _LINES or not _reaches(kind, square, each)]
        verb = "pin a man on"
    elif reason.kind == "guarded" and square not in targets:
        missed = [each for each in targets if not _reaches(kind, square, each)]
        verb = "guard"
    else:
        return ""
    if not missed:
        return ""
    what = f"{_colour(by)}{chess.piece_name(kind)} on {chess.square_name(square)}"
    return f"a {what} cannot {verb} {chess.square_name(missed[0])}"


def _reaches(kind: chess.PieceType, square: chess.Square, other: chess.Square) -> bool:
    """Tell whether a man alone on the board attacks another square; a pawn does so for one side or the other."""
    return any(_alone(kind, colour, square).attacks_mask(square) >> other & 1 for colour in chess.COLORS)


def _alone(kind: chess.PieceType, colour: chess.Color, square: chess.Square) -> chess.BaseBoard:
    board = chess.BaseBoard.empty()
    board.set_piece_at(square, chess.Piece(kind, colour))
    return board


def _colour(man: Man) -> str:
    return "" if man.colour is None else f"{chess.COLOR_NAMES[man.colour]} "
