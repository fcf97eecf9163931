"""Why a castling is not legal, cause by cause (FIDE Laws 3.8.2).

Only the king's three squares count: the rook may stand on an attacked square, and
in castling queenside it may cross one (3.8.2.2 names the king's squares alone).
"""

from itertools import pairwise

import chess

from ..retro import rights
from .node import Node


def king_home(colour: chess.Color) -> chess.Square:
    """Return e1 or e8."""
    return chess.E1 if colour == chess.WHITE else chess.E8


def rook_home(colour: chess.Color, wing: str) -> chess.Square:
    """Return the corner of the castling "short" or "long"."""
    return chess.square(7 if wing == "short" else 0, 0 if colour == chess.WHITE else 7)


def why_not_castle(node: Node, wings: str) -> tuple[str, str]:
    """Return the rule broken and the reason, for castling `wings` ("short", "long" or "either") in `node`."""
    if wings != "either":
        return _why(node, wings)
    short, long = _why(node, "short"), _why(node, "long")
    rule = long[0] if short[0] == "castling-not-at-home" else short[0]
    return rule, f"kingside: {short[1]}; queenside: {long[1]}"


def _why(node: Node, wing: str) -> tuple[str, str]:
    board = node.board
    colour = board.turn
    name = "White" if colour == chess.WHITE else "Black"
    home, corner = king_home(colour), rook_home(colour, wing)
    diagram = node.path[0].board
    for square, kind in ((home, chess.KING), (corner, chess.ROOK)):
        piece = chess.Piece(kind, colour)
        what = chess.piece_name(kind)
        moved = _moved(node, square, diagram.piece_at(square) == piece, board.piece_at(square) == piece)
        if moved is not None:
            return "castling-right-lost", f"{name}'s {what} {moved} (Laws 3.8.2.1)"
        if board.piece_at(square) != piece:
            return (
                "castling-not-at-home",
                f"castling needs {name}'s {what} on {chess.square_name(square)}, and it is not there (Laws 3.8.2)",
            )
    between = chess.SquareSet.between(home, corner) & board.occupied
    if between:
        square = next(iter(between))
        return (
            "castling-blocked",
            f"the {_man(board, square)} on {chess.square_name(square)} stands between king and rook (Laws 3.8.2.2)",
        )
    target = home + 2 if wing == "short" else home - 2
    crossed = (home + target) // 2
    for square, rule, words in (
        (home, "castling-out-of-check", "the king is in check on {}"),
        (crossed, "castling-through-check", "the king would cross {}"),
        (target, "castling-into-check", "the king would land on {}"),
    ):
        attackers = board.attackers(not colour, square)
        if attackers:
            attacker = next(iter(attackers))
            return (
                rule,
                f"{words.format(chess.square_name(square))}, attacked by the {_man(board, attacker)} "
                f"on {chess.square_name(attacker)} (Laws 3.8.2.2)",
            )
    lost = rights.judge(diagram).lost.get(rights.Right(corner))
    if lost is not None:
        reason = f"it can be proved that king or rook has moved: if neither had, {lost} (WFCC Codex 16(1))"
        return "castling-provably-lost", f"{name} cannot castle here, for {reason}"
    return "castling-right-missing", f"the FEN gives {name} no right to castle {wing}"


def _man(board: chess.Board, square: chess.Square) -> str:
    piece = board.piece_at(square)
    assert piece is not None
    return f"{chess.COLOR_NAMES[piece.color]} {chess.piece_name(piece.piece_type)}"


def _moved(node: Node, home: chess.Square, from_start: bool, now: bool) -> str | None:
    """Say how the man left `home`, was captured there or came there in this line; None if it never moved.

    `from_start` and `now` tell whether it stands there in the diagram and in `node`.
    """
    steps = [(before, after.move) for before, after in pairwise(node.path) if after.move]
    touching = [step for step in steps if home in (step[1].from_square, step[1].to_square)]
    if not touching or not (from_start or now):
        return None
    before, move = touching[0 if from_start else -1]
    printed = before.number + before.board.san(move)
    square = chess.square_name(home)
    if not from_start:
        return f"came to {square} only with {printed}"
    return f"left {square} with {printed}" if move.from_square == home else f"was captured on {square} by {printed}"
