"""What a move is said to be: a sacrifice, a quiet move, an underpromotion, the only promotion that will do."""

import re

import chess
from keyproof.grammar.statements import Man, Reason

from ..board.names import listing, man_at, side
from ..play.node import Node
from .judging import RIGHT, UNDECIDED, Judged, fits, men, printed


def sacrificed(node: Node, reason: Reason) -> Judged | None:
    """Judge "1.Qc8 sacrifices the queen", "a rook sacrifice": after the move that man can be captured."""
    man = reason.man or reason.other
    if man is None or not man.kinds:
        return UNDECIDED
    if not node.move:
        return None
    board = node.board
    offered = [square for square in men(board, man) if board.color_at(square) != board.turn]
    if not offered:
        return None
    if any(board.is_capture(move) and _captured(board, move) in offered for move in board.legal_moves):
        return RIGHT
    what = man_at(board, offered[0]) if len(offered) == 1 else f"any of them, {listing(_men(board, offered), 'or')}"
    return Judged("wrong", f"no {chess.COLOR_NAMES[board.turn]} man can capture {what}")


def _men(board: chess.Board, squares: list[chess.Square]) -> list[str]:
    return [man_at(board, square) for square in squares]


def _captured(board: chess.Board, move: chess.Move) -> chess.Square:
    if board.is_en_passant(move):
        return chess.square(chess.square_file(move.to_square), chess.square_rank(move.from_square))
    return move.to_square


def quiet(node: Node, _: Reason) -> Judged | None:
    """Judge "a quiet move", "a quiet key": it neither captures nor gives check."""
    if not node.move or node.parent is None:
        return None
    before = node.parent.board
    if node.board.is_check():
        return Judged("wrong", f"{printed(node)} is no quiet move: it gives check")
    if before.is_capture(node.move):
        taken = man_at(before, _captured(before, node.move))
        return Judged("wrong", f"{printed(node)} is no quiet move: it captures {taken}")
    return RIGHT


def underpromoted(node: Node, _: Reason) -> Judged | None:
    """Judge "an underpromotion": a pawn becomes a rook, a bishop or a knight."""
    if not node.move or node.parent is None:
        return None
    if node.move.promotion in (chess.ROOK, chess.BISHOP, chess.KNIGHT):
        return RIGHT
    what = "the pawn becomes a queen" if node.move.promotion else "no pawn is promoted"
    return Judged("wrong", f"{printed(node)} is no underpromotion: {what}")


_EFFECTS = ("stalemate", "mate", "check")


def other_promotion(node: Node, reason: Reason) -> Judged | None:
    """Judge "a queen would be stalemate", said where the pawn becomes something else: the other promotion is played."""
    if not node.move or node.parent is None or node.move.promotion is None:
        return None
    said = re.sub("night|queening", lambda found: {"night": "knight"}.get(found[0], "queen"), reason.where.lower())
    kind = next(each for each in chess.PIECE_TYPES if each != chess.PAWN and chess.piece_name(each) in said)
    if kind == node.move.promotion:
        return None  # that move was made, and its own sign is judged
    effect = next(each for each in _EFFECTS if each in said)
    move = chess.Move(node.move.from_square, node.move.to_square, kind)
    after = node.parent.play(move).board
    has = {"stalemate": after.is_stalemate(), "mate": after.is_checkmate(), "check": after.is_check()}
    if has[effect] != reason.negated:
        return RIGHT
    why = f"with the promotion to a {chess.piece_name(kind)} it would {'be' if has[effect] else 'not be'} {effect}"
    free = next(iter(after.legal_moves), None) if effect != "check" else None
    moves = (move,) if free is None else (move, free)
    if free is not None:
        why += f": {side(after.turn)} could play {after.san(free)}"
    return Judged("wrong", why, moves, node.parent)


def said_of(board: chess.Board, square: chess.Square, man: Man) -> bool:
    """Tell whether the man on a square of a position is one that a description fits."""
    piece = board.piece_at(square)
    return piece is not None and fits(square, piece, man)
