"""Duties: a man that is drawn away from a square it guards, or that has two squares to guard."""

import chess
from keyproof.grammar.statements import Man, Reason
from msgspec.structs import replace

from ..board.names import man_at
from ..play.node import Node
from .called import said_of
from .guards import guarded
from .judging import RIGHT, UNDECIDED, Judged, men


def drawn_away(node: Node, reason: Reason) -> Judged | None:
    """Judge "the queen is drawn away from d4": she stood there or guarded it before her move, and no more after."""
    man = reason.man
    if man is None or not man.kinds or reason.negated or not reason.squares:
        return UNDECIDED
    if reason.where:  # "1.Rc5 draws the queen away from d4": she may, and need not have done so in the text
        return _kept(node, man, reason) or RIGHT
    move, parent = node.move, node.parent
    if not move or parent is None:
        return None
    moved = said_of(parent.board, move.from_square, man) or said_of(node.board, move.to_square, man)
    if not moved or move.promotion:
        return _kept(node, man, reason)
    for square in reason.squares:
        name = chess.square_name(square)
        if move.from_square == square:
            continue
        if _holds(node.board, move.to_square, square):
            return Judged("wrong", f"{man_at(node.board, move.to_square)} still guards {name}")
        if not _holds(parent.board, move.from_square, square):
            if _looks_at(parent.board, move.from_square, square):
                return UNDECIDED  # through another man
            return Judged("wrong", f"{man_at(parent.board, move.from_square)} did not guard {name} before its move")
    return RIGHT


def _kept(node: Node, man: Man, reason: Reason) -> Judged | None:
    """Judge a man that has not just moved: to draw it away from a square that it never guarded has no meaning."""
    there = men(node.board, man)
    if not there or any(_looks_at(node.board, each, square) for each in there for square in reason.squares):
        return None
    if len(there) > 1:
        return Judged("wrong", f"no such man guards {chess.square_name(reason.squares[0])}")
    return Judged("wrong", f"{man_at(node.board, there[0])} does not guard {chess.square_name(reason.squares[0])}")


def _holds(board: chess.Board, man: chess.Square, square: chess.Square) -> bool:
    return man == square or bool(board.attacks_mask(man) >> square & 1)


def _looks_at(board: chess.Board, man: chess.Square, square: chess.Square) -> bool:
    """Tell whether a man guards a square or would if nothing stood between."""
    alone = chess.Board(None)
    alone.set_piece_at(man, board.piece_at(man))
    return _holds(alone, man, square)


def overloaded(node: Node, reason: Reason) -> Judged | None:
    """Judge "the rook is overloaded with guarding d4 and f6": it guards both."""
    if reason.man is None or len(reason.squares) < 2:
        return UNDECIDED
    return guarded(node, replace(reason, kind="guarded", man=None, other=reason.man))
