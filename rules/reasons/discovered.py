"""Which men give check: "a discovered check by the bishop", "double check from rook and bishop"."""

import chess
from keyproof.grammar.statements import Man, Reason

from ..board.names import listing, man_at
from ..play.node import Node
from .judging import RIGHT, Judged, fits, printed


def discovered_check(node: Node, reason: Reason) -> Judged | None:
    """Judge "discovered check by the bishop", "mate by discovery": such a man, which did not move, gives check."""
    if not node.move or node.parent is None:
        return None
    behind = [square for square in node.board.checkers() if square != node.move.to_square]
    if any(_is(node.board, square, reason.man) for square in behind):
        return RIGHT
    if behind:
        return Judged("wrong", f"the discovered check comes from {_all(node.board, behind)}")
    what = "the man that moved gives it" if node.board.is_check() else "it gives no check"
    return Judged("wrong", f"{printed(node)} is no discovered check: {what}")


def double_check(node: Node, reason: Reason) -> Judged | None:
    """Judge "double check from the rook and the bishop": both give check."""
    if not node.move or node.parent is None:
        return None
    board, checkers = node.board, list(node.board.checkers())
    if len(checkers) < 2:
        what = f"only {_all(board, checkers)} gives it" if checkers else "it gives no check"
        return Judged("wrong", f"{printed(node)} is no double check: {what}")
    one, other = checkers
    for first, second in ((one, other), (other, one)):
        if _is(board, first, reason.man) and _is(board, second, reason.other):
            return RIGHT
    return Judged("wrong", f"the double check comes from {_all(board, checkers)}")


def _is(board: chess.Board, square: chess.Square, man: Man | None) -> bool:
    piece = board.piece_at(square)
    return piece is not None and (man is None or not man.kinds or fits(square, piece, man))


def _all(board: chess.Board, squares: list[chess.Square]) -> str:
    return listing([man_at(board, square) for square in squares])
