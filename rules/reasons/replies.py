"""How many legal moves a side is said to have."""

import re

import chess
from keyproof.grammar.statements import Reason

from ..board.names import listing
from ..play.node import Node
from .judging import RIGHT, UNDECIDED, Judged

_EXACTLY = re.compile(
    r"\b(?:legal|possible|open|in\s+(?:all|total)|altogether|makes|only|just|but|exactly|choose|choice)\b", re.I
)
_MOST = 12  # moves that a message names


def replies(node: Node, reason: Reason) -> Judged | None:
    """Judge "Black has six replies in total", "he has only four legal moves": said of the side that defends.

    A promotion may be counted as one move or as four. Fewer moves than there are may be those worth a word,
    unless they are called legal, or all there are.
    """
    defender = not node.path[0].board.turn
    side = re.search(r"\b(white|black)\b", reason.where, re.I)
    if reason.count is None or (side is not None and (side[0].lower() == "white") != defender):
        return UNDECIDED
    if node.board.turn != defender or not node.move:
        return None
    moves = list(node.board.legal_moves)
    if not moves:
        return None
    once = {(move.from_square, move.to_square) for move in moves}
    if reason.count in (len(moves), len(once)):
        return RIGHT
    if reason.count < len(once) and not _EXACTLY.search(reason.where):
        return UNDECIDED
    told = listing([node.board.san(move) for move in moves[:_MOST]])
    more = " and more" if len(moves) > _MOST else ""
    number = "one legal move" if len(moves) == 1 else f"{len(moves)} legal moves"
    owner = chess.COLOR_NAMES[defender].capitalize()
    return Judged("wrong", f"{owner} has {number} here: {told}{more}")
