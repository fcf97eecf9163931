"""Mates that have a name: what the trade calls smothered, back-rank, epaulette, pure, model, ideal, mirror.

Where usages differ, a mate is denied its name only if every usage denies it. The definitions
are common practice, no source; that of the pure mate is in the encyclopedias.
"""

import re
from collections.abc import Callable, Mapping

import chess
from keyproof.grammar.statements import Reason

from ..board.names import listing, man_at
from ..play.mating_net import MatingNet, NoFlight, mating_net
from ..play.node import Node
from .judging import RIGHT, UNDECIDED, Judged

_LINE_PIECES = (chess.QUEEN, chess.ROOK)


def mate_picture(node: Node, reason: Reason) -> Judged | None:
    """Judge "a smothered mate", "a model mate"; None where it is not mate, which other claims tell."""
    if not node.board.is_checkmate():
        return None
    name = _name(reason.where)
    fault = PICTURES[name](node.board, mating_net(node.board))
    if fault is None:
        return RIGHT
    return UNDECIDED if not fault else Judged("wrong", f"this is no {_PRINTED.get(name, name)} mate: {fault}")


def _name(words: str) -> str:
    words = re.sub(r"[\s-]+", " ", words.lower())
    if "cross" in words:
        return "crossing"
    return "back-rank" if "rank" in words else words.split()[0].removesuffix("s")


_PRINTED = {"crossing": "crossing-bishops"}

UNSURE = ""
"""Some would use the name and some would not."""


def smothered(board: chess.Board, net: MatingNet) -> str | None:
    """A knight mates a king whose field is filled by his own men. Return why it is not so, or `UNSURE`, or None.

    A square or two that are guarded instead are let pass, as many as are blocked.
    """
    if not any(board.piece_type_at(square) == chess.KNIGHT for square in net.checkers):
        return f"{_checkers(board, net)}, not a knight"
    blocked = [each for each in net.field if each.block is not None]
    if 2 * len(blocked) < len(net.field):
        free = listing([chess.square_name(each.square) for each in net.field if each.block is None])
        return f"the king's own men do not stand on {free}"
    return None if len(blocked) == len(net.field) else UNSURE


def _checkers(board: chess.Board, net: MatingNet) -> str:
    names = listing([man_at(board, square) for square in net.checkers])
    return f"{names} {'gives' if len(net.checkers) == 1 else 'give'} check"


def back_rank(board: chess.Board, net: MatingNet) -> str | None:
    """A rook or queen mates along the king's own first rank, in front of him stand his own men."""
    rank = chess.square_rank(net.king)
    if rank not in (0, 7):
        return f"the king stands on {chess.square_name(net.king)}"
    along = [each for each in net.checkers if chess.square_rank(each) == rank]
    if not along:
        return f"{_checkers(board, net)}, not along the rank"
    own = rank == (0 if board.turn == chess.WHITE else 7)
    front = [each for each in net.field if chess.square_rank(each.square) != rank]
    return None if own and all(each.block for each in front) else UNSURE


def epaulette(board: chess.Board, net: MatingNet) -> str | None:
    """Two of the king's own men stand on either side of him, on the rank as a rule."""
    blocks = {each.square for each in net.field if each.block is not None}
    for step in (1, 8, 7, 9):
        if {net.king - step, net.king + step} <= blocks:
            queen = any(board.piece_type_at(each) == chess.QUEEN for each in net.checkers)
            return None if step == 1 and queen else UNSURE
    return "the king has no men of his own on both sides of him"


def crossing_bishops(board: chess.Board, net: MatingNet) -> str | None:
    """Two bishops take part, one on each kind of diagonal."""
    taking_part = set(net.checkers) | {guard for each in net.field for guard in each.guards}
    bishops = [each for each in taking_part if board.piece_type_at(each) == chess.BISHOP]
    if len(bishops) < 2:
        return "two bishops do not take part in it" if bishops else "no bishop takes part in it"
    return None if any(each in net.checkers for each in bishops) else UNSURE


def mirror(board: chess.Board, net: MatingNet) -> str | None:
    """No man stands next to the king."""
    for each in net.field:
        if board.piece_at(each.square) is not None:
            return f"{man_at(board, each.square)} stands next to the king"
    return None if len(net.field) == 8 else UNSURE


# -- pure, model, ideal ------------------------------------------------------------


def pure(board: chess.Board, net: MatingNet) -> str | None:
    """Every square of the king's field is denied for one reason: one man guards it, or one of his own blocks it."""
    if len(net.checkers) > 1:
        return UNSURE
    for each in net.field:
        fault = _twice(board, each)
        if fault is not None:
            return fault
    return None


def _twice(board: chess.Board, field: NoFlight) -> str | None:
    name = chess.square_name(field.square)
    if field.block is None:
        if len(field.guards) < 2:
            return None
        return f"{name} is guarded by {listing([man_at(board, guard) for guard in field.guards])}"
    guards = board.attackers(not board.turn, field.square)
    if not guards:
        return None
    if board.is_pinned(board.turn, field.square):
        return UNSURE  # the guard may be the pin that the mate needs
    return f"{name} is blocked by the king's own man and guarded by {listing([man_at(board, each) for each in guards])}"


def model(board: chess.Board, net: MatingNet) -> str | None:
    """The mate is pure, and all men of the mating side take part, king and pawns excepted."""
    officers = chess.SquareSet(board.occupied_co[not board.turn] & ~board.pawns & ~board.kings)
    return _economical(board, net, officers)


def ideal(board: chess.Board, net: MatingNet) -> str | None:
    """The mate is pure, and every man on the board takes part."""
    free = [each for each in chess.SquareSet(board.occupied) if not board.is_pinned(board.turn, each)]
    return _economical(board, net, chess.SquareSet(each for each in free if each != net.king))


def _economical(board: chess.Board, net: MatingNet, men: chess.SquareSet) -> str | None:
    fault = pure(board, net)
    if fault:
        return fault
    for square in men:
        without = board.copy(stack=False)
        without.remove_piece_at(square)
        if without.is_checkmate():
            return f"{man_at(board, square)} takes no part in it"
    return fault


PICTURES: Mapping[str, Callable[[chess.Board, MatingNet], str | None]] = {
    "smothered": smothered,
    "back-rank": back_rank,
    "epaulette": epaulette,
    "crossing": crossing_bishops,
    "mirror": mirror,
    "pure": pure,
    "model": model,
    "ideal": ideal,
}
"""For each name what denies it: a reason in words, `UNSURE`, or None."""
