"""Blocks: a man stands where its own king could go, or in front of a pawn."""

import chess
from keyproof.grammar.statements import Man, Reason

from ..board.names import man_at
from ..play.node import Node
from .judging import RIGHT, UNDECIDED, Judged, colour_of, men, says_all


def blocked(node: Node, reason: Reason) -> Judged | None:
    """Judge "the pawn blocks d6 for its own king", "d6 is blocked by the pawn", "the pawn on b3 is blocked"."""
    board = node.board
    blockers = None if reason.other is None else men(board, reason.other)
    if blockers == []:
        return None
    if reason.negated:
        return UNDECIDED
    if reason.squares:
        return _square(board, reason, blockers)
    if reason.where:
        return _own_king(board, blockers)
    if reason.man is None:
        return UNDECIDED
    held_men = men(board, reason.man)
    pawns = [square for square in held_men if board.piece_type_at(square) == chess.PAWN]
    if not pawns:
        return UNDECIDED if held_men else None
    fronts = {pawn: _front(board, pawn) for pawn in pawns}
    free = [pawn for pawn, front in fronts.items() if not _held(board, front, blockers)]
    if not free or (len(free) < len(pawns) and not says_all(reason.man)):
        return RIGHT
    where = _what(board, fronts[free[0]], reason.other)
    return Judged("wrong", f"{man_at(board, free[0])} is not blocked so: {where}")


def _held(board: chess.Board, front: chess.Square, blockers: list[chess.Square] | None) -> bool:
    return board.piece_at(front) is not None if blockers is None else front in blockers


def _front(board: chess.Board, pawn: chess.Square) -> chess.Square:
    return pawn + 8 if board.color_at(pawn) == chess.WHITE else pawn - 8


def _what(board: chess.Board, square: chess.Square, man: Man | None) -> str:
    """Say what stands on a square instead of the man that is said to stand there."""
    name = chess.square_name(square)
    said = f"no {chess.piece_name(man.kinds[0])}" if man is not None and len(man.kinds) == 1 else ""
    if board.piece_at(square) is None:
        return f"{said or 'nothing'} stands on {name}"
    return f"{man_at(board, square).removesuffix(f' on {name}')} stands on {name}{said and f', {said}'}"


def _square(board: chess.Board, reason: Reason, blockers: list[chess.Square] | None) -> Judged:
    for square in reason.squares:
        if board.piece_type_at(square) == chess.PAWN and _held(board, _front(board, square), blockers):
            continue  # "blocks d5" may be said of the pawn there
        if board.piece_at(square) is None or (blockers is not None and square not in blockers):
            if blockers is None and any(board.attackers(colour, square) for colour in chess.COLORS):
                return UNDECIDED  # "blocked" may be said of a guarded square
            return Judged("wrong", _what(board, square, reason.other))
        if "king" in reason.where and not _next_to_king(board, square):
            return Judged("wrong", f"{man_at(board, square)} does not stand next to its own king")
    return RIGHT


def _next_to_king(board: chess.Board, square: chess.Square) -> bool:
    king = board.king(colour_of(board, square))
    return king is not None and chess.square_distance(king, square) == 1


def _own_king(board: chess.Board, blockers: list[chess.Square] | None) -> Judged:
    """Judge "the pawn blocks its own king": it stands next to it."""
    if blockers is None:
        return UNDECIDED
    if any(_next_to_king(board, square) for square in blockers):
        return RIGHT
    return Judged("wrong", f"{man_at(board, blockers[0])} does not stand next to its own king")
