"""Lines of queens, rooks and bishops that a move closes or opens."""

import re

import chess
from keyproof.grammar.statements import Man, Reason
from keyproof.grammar.words import FILES, rank_of

from ..board.names import listing
from ..play.node import Node
from .judging import RIGHT, UNDECIDED, Judged, fits, men
from .pins import along

_LINE_PIECES = (chess.QUEEN, chess.ROOK, chess.BISHOP)


def line_closed(node: Node, reason: Reason) -> Judged | None:
    """Judge "the bishop shuts off the rook": it stands on the rook's line, with squares of it beyond."""
    if reason.negated:
        return UNDECIDED
    board = node.board
    closers = list(board.piece_map()) if reason.other is None else men(board, reason.other)
    riders = _riders(board, reason)
    if not closers or not riders:
        return None
    for rider in riders:
        for closer in chess.SquareSet(board.attacks_mask(rider)) & chess.SquareSet(closers):
            beyond = chess.SquareSet(chess.ray(rider, closer)) - chess.SquareSet(chess.between(rider, closer))
            further = any(closer in chess.SquareSet.between(rider, each) for each in beyond)
            if further and along(reason.where, rider, closer):
                return RIGHT
    if reason.man is None and "'s" not in reason.where.replace("’", "'"):
        named = _named_line(reason.where)
        if not named or any(closer in named for closer in closers):
            return RIGHT if named else UNDECIDED
    return Judged("wrong", _on_no_line(reason))


def line_opened(node: Node, reason: Reason) -> Judged | None:
    """Judge "it opens the line of the bishop": after the move the bishop attacks squares that it did not before.

    A line that is named may also be opened for a man that will come to it later: the moving man must have left it.
    """
    if reason.negated:
        return UNDECIDED
    if node.parent is None or not node.move:
        return None
    board, before = node.board, node.parent.board
    riders = _riders(board, reason)
    if not riders:
        return None
    for rider in riders:
        gained = board.attacks(rider) - before.attacks(rider) if before.piece_at(rider) == board.piece_at(rider) else ()
        if any(along(reason.where, rider, square) for square in gained):
            return RIGHT
    if reason.man is None:
        named = _named_line(reason.where)
        if not named or (node.move.from_square in named and node.move.to_square not in named):
            return RIGHT if named else UNDECIDED
    where = f" along {reason.where}" if reason.where and reason.man is None else ""
    further = "reaches further" if reason.man is None else "does not reach further"
    return Judged("wrong", f"{_named(reason.man)} {further}{where} by this move")


def _named_line(words: str) -> chess.SquareSet:
    """Return the squares of a line that words name: "the d-file", "the fifth rank", "the long diagonal"; else none."""
    words = words.lower()
    if "rank" in words:
        try:
            return chess.SquareSet(chess.BB_RANKS[rank_of(words)])
        except ValueError:
            return chess.SquareSet()
    file = re.search(r"\b([a-h]|[bcdg]ee|ee|eff|aitch)[\s-]+file", words)
    if file is not None:
        return chess.SquareSet(chess.BB_FILES[FILES[file[1]]])
    if "long diagonal" in words:
        return chess.SquareSet(chess.ray(chess.A1, chess.H8) | chess.ray(chess.A8, chess.H1))
    return chess.SquareSet()


def _riders(board: chess.Board, reason: Reason) -> list[chess.Square]:
    """Return the line pieces that the reason may mean."""
    kinds = [kind for kind in _LINE_PIECES if f"{chess.piece_name(kind)}'s" in reason.where.replace("’", "'")]
    found = [square for square, piece in board.piece_map().items() if piece.piece_type in (kinds or _LINE_PIECES)]
    if reason.man is None:
        return found
    return [each for each in found if (piece := board.piece_at(each)) is not None and fits(each, piece, reason.man)]


def _on_no_line(reason: Reason) -> str:
    who = "no man closes" if reason.other is None else f"{_named(reason.other)} does not close"
    rider = "a queen, rook or bishop" if reason.man is None else _named(reason.man)
    return f"{who} {reason.where if reason.where and reason.man is None else f'a line of {rider}'}"


def _named(man: Man | None) -> str:
    if man is None or not man.kinds:
        return "no queen, rook or bishop" if man is None else "the man it may mean"
    names = [chess.piece_name(kind) for kind in man.kinds]
    where = f" on {chess.square_name(man.squares[0])}" if man.squares else ""
    return f"the {listing(names, 'or')}{where}"
