"""Batteries: two men of one side on a line, of which the front one moves and uncovers the rear one.

Whether it must be aimed at the king, and whether two line pieces that look the same way are one, is
not agreed on. So every line piece with a man of its own side before it on its line may be called one.
"""

from collections.abc import Iterator

import chess
from keyproof.grammar.statements import Man, Reason

from ..play.node import Node
from .judging import RIGHT, UNDECIDED, Judged, colour_of, fits, printed
from .pins import along

_LINE_PIECES = (chess.QUEEN, chess.ROOK, chess.BISHOP)


def battery(node: Node, reason: Reason) -> Judged | None:
    """Judge "a battery on the d-file", "the rook and the knight form a battery", "a queen-bishop battery"."""
    board = node.board
    one, other = _named(reason)
    for rear, front in _pairs(board):
        if along(reason.where, rear, front) and (
            (_is(board, rear, one) and _is(board, front, other)) or (_is(board, rear, other) and _is(board, front, one))
        ):
            return RIGHT if board.attacks_mask(rear) >> front & 1 else UNDECIDED  # with a man between
    if one is None or other is None:
        return Judged("wrong", f"no queen, rook or bishop stands behind another man of its side {reason.where}")
    names = " and ".join(chess.piece_name(each.kinds[0]) for each in (one, other) if each.kinds)
    line = f" {reason.where}" if reason.man is not None and reason.where else ""
    return Judged("wrong", f"no {names} of one side stand one behind the other{line or ' on a line'}")


def _named(reason: Reason) -> tuple[Man | None, Man | None]:
    """Return the two men of a battery, as far as they are named: "the rook and the knight", "queen-bishop"."""
    if reason.man is not None:
        return reason.man, reason.other
    words = reason.where.lower().partition(" battery")[0]
    found = sorted((words.find(name), kind) for kind, name in enumerate(chess.PIECE_NAMES) if name and name in words)
    if " battery" not in reason.where.lower() or not found:
        return None, None
    kinds = [kind for _, kind in found]
    one, other = kinds[0], kinds[-1]
    return Man(reason.span, "", (one,)), Man(reason.span, "", (other,))


def _pairs(board: chess.Board) -> Iterator[tuple[chess.Square, chess.Square]]:
    """Yield each line piece with the men of its own side on its lines, first those with nothing between."""
    found = []
    for rear, piece in board.piece_map().items():
        if piece.piece_type in _LINE_PIECES:
            alone = chess.BaseBoard(None)
            alone.set_piece_at(rear, piece)
            found += [(rear, front) for front in chess.SquareSet(alone.attacks(rear) & board.occupied_co[piece.color])]
    yield from sorted(found, key=lambda pair: not board.attacks_mask(pair[0]) >> pair[1] & 1)


def _is(board: chess.Board, square: chess.Square, man: Man | None) -> bool:
    piece = board.piece_at(square)
    return piece is not None and (man is None or fits(square, piece, man))


def battery_fired(node: Node, reason: Reason) -> Judged | None:
    """Judge "the knight fires the battery": by the move another line piece of its side reaches further."""
    if not node.move or node.parent is None:
        return None
    before, after = node.parent.board, node.board
    if reason.other is not None and not _is(before, node.move.from_square, reason.other):
        return None
    for square in chess.SquareSet(after.occupied_co[not after.turn]):
        stood = before.piece_at(square) == after.piece_at(square) and colour_of(after, square) == before.turn
        if stood and after.piece_type_at(square) in _LINE_PIECES and after.attacks(square) - before.attacks(square):
            return RIGHT
    return Judged("wrong", f"{printed(node)} opens no line of another man, so it fires no battery")
