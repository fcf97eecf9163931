"""Pins: a man that may not leave the line between a line piece and its own king (FIDE Laws 3.9.2)."""

import re
from collections.abc import Iterator

import chess
from keyproof.grammar.statements import Man, Reason
from keyproof.grammar.words import FILES, ORDINALS, rank_of

from ..board.names import man_at, side
from ..play.node import Node
from .judging import RIGHT, UNDECIDED, Judged, colour_of, fits, men, says_all, shown, to_move

_WORTH = {chess.PAWN: 1, chess.KNIGHT: 3, chess.BISHOP: 3, chess.ROOK: 5, chess.QUEEN: 9, chess.KING: 99}


def pinned(node: Node, reason: Reason) -> Judged | None:
    """Judge "the bishop is pinned": to its king; before another man that is worth more it may be said or not."""
    board, man = node.board, reason.man
    if man is None or man.kinds == (chess.KING,):
        return UNDECIDED  # "the king is pinned down" is said of something else
    there = [square for square in men(board, man) if board.piece_type_at(square) != chess.KING]
    if not there:
        return None
    if reason.negated:
        bound = [square for square in there if board.is_pinned(colour_of(board, square), square)]
        if len(bound) < len(there):
            return RIGHT
        if reason.other or reason.target or reason.where:
            return UNDECIDED
        return Judged("wrong", f"{man_at(board, there[0])} is pinned {_by(board, there[0])}")
    found = [_is_pinned(node, square, reason) for square in there]
    enough = all if says_all(man) else any
    if enough(each is True for each in found):
        return RIGHT
    if any(each is None for each in found):
        return UNDECIDED
    square = next(square for square, each in zip(there, found, strict=True) if not each)
    return _refuted(node, square, one=len(there) == 1)


def _is_pinned(node: Node, square: chess.Square, reason: Reason) -> bool | None:
    """Tell whether a man is pinned as the reason says; None where the words may mean a pin that binds by worth only."""
    loosely, board = False, node.board
    for pinner, behind in _lines(board, square):
        by = _agrees(board, pinner, reason.other) or _has_left(node, chess.SquareSet.between(pinner, behind), reason)
        if not (by and along(reason.where, pinner, square)):
            continue
        kind, worth = board.piece_type_at(behind), board.piece_type_at(square)
        assert kind is not None
        assert worth is not None
        if reason.target is not None and kind in reason.target.kinds:
            return True
        if reason.target is None and kind == chess.KING:
            return True
        loosely = loosely or (reason.target is None and _WORTH[kind] > _WORTH[worth])
    return None if loosely else False


def _has_left(node: Node, line: chess.SquareSet, reason: Reason) -> bool:
    """Tell whether the man who is said to pin has just opened the line: "by leaving f2 the knight pins the pawn"."""
    move = node.move
    return move is not None and move.from_square in line and _agrees(node.board, move.to_square, reason.other)


def _lines(board: chess.Board, square: chess.Square) -> Iterator[tuple[chess.Square, chess.Square]]:
    """Yield each enemy line piece that attacks a man, with the next man of the same side behind it on that line."""
    colour = colour_of(board, square)
    for pinner in board.attackers(not colour, square):
        if board.piece_type_at(pinner) not in (chess.QUEEN, chess.ROOK, chess.BISHOP):
            continue
        beyond = chess.SquareSet(chess.ray(pinner, square) & board.occupied)
        hidden = [each for each in beyond if square in chess.SquareSet.between(pinner, each)]
        behind = min(hidden, key=lambda each: chess.square_distance(each, square), default=None)
        if behind is not None and board.color_at(behind) == colour:
            yield pinner, behind


def _agrees(board: chess.Board, square: chess.Square, man: Man | None) -> bool:
    piece = board.piece_at(square)
    assert piece is not None
    return man is None or fits(square, piece, man)


def along(words: str, one: chess.Square, other: chess.Square) -> bool:
    """Tell whether the line through two squares is the one named: "along the d-file", "on the long diagonal"."""
    if not words:
        return True
    words = words.lower()
    file, rank = chess.square_file(one), chess.square_rank(one)
    same_file, same_rank = file == chess.square_file(other), rank == chess.square_rank(other)
    if "diagonal" in words:
        return not (same_file or same_rank)
    if "file" in words:
        named = re.search(r"\b([a-h]|[bcdg]ee|ee|eff|aitch)[\s-]+file", words)
        return same_file and (named is None or FILES[named[1]] == file)
    if "rank" in words:
        numbered = re.search(rf"\b(?:{'|'.join(ORDINALS)}|[1-8](?:st|nd|rd|th))\b", words)
        return same_rank and (numbered is None or rank_of(words) == rank)
    return True


def pinner_of(board: chess.Board, square: chess.Square) -> chess.Square | None:
    """Return where the man stands that pins another to its king, None where it is not pinned."""
    king = board.king(colour_of(board, square))
    return next((pinner for pinner, behind in _lines(board, square) if behind == king), None)


def _by(board: chess.Board, square: chess.Square) -> str:
    pinner = pinner_of(board, square)
    assert pinner is not None
    return f"by {man_at(board, pinner)}"


def _refuted(node: Node, square: chess.Square, *, one: bool) -> Judged:
    board = node.board
    colour = colour_of(board, square)
    name = man_at(board, square)
    if board.is_pinned(colour, square):
        return Judged("wrong", f"{name} is pinned {_by(board, square)}, not as it is said here")
    why = f"{name} is not pinned" if one else f"no man that is meant is pinned, {name} for one"
    moved = to_move(node, colour)
    free = next((each for each in moved.board.legal_moves if each.from_square == square), None) if moved else None
    if moved is None or free is None:
        return Judged("wrong", f"{why}: no line runs through it to {side(colour)}'s king")
    return Judged("wrong", f"{why}: it can move to {chess.square_name(free.to_square)}", shown(node, moved, free))
