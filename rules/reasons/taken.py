"""What a reason was taken for: which men and squares it speaks of, in the position that shows it."""

import re
from collections.abc import Callable, Iterable, Mapping

import chess
from keyproof.grammar.statements import Man, Reason, ReasonKind

from ..board.names import listing, man_at
from ..play.node import Node
from .flights import flights_of
from .judging import men
from .pins import pinner_of

_MOST = 4  # men that are named one by one


def taken(node: Node, reason: Reason) -> str:
    """Say of whom and of what a reason speaks: "the black bishop on e6, by the white queen on e2"; "" of nobody."""
    said = _OF_KIND.get(reason.kind, _as_told)(node.board, node, reason)
    return ", ".join(part for part in said if part)


def _as_told(board: chess.Board, _: Node, reason: Reason) -> tuple[str, ...]:
    """Name the men of a reason, then its squares: as far as its words name them, where it holds."""
    of, by, to = (_men(board, each) for each in (reason.man, reason.other, reason.target))
    return of, by and f"by {by}", to and f"to {to}", _squares(reason.squares), reason.where


def _men(board: chess.Board, man: Man | None) -> str:
    return "" if man is None else _named(board, men(board, man))


def _named(board: chess.Board, squares: Iterable[chess.Square]) -> str:
    there = sorted(squares)
    more = [f"{len(there) - _MOST} more"] if len(there) > _MOST else []
    return listing([*(man_at(board, square) for square in there[:_MOST]), *more]) if there else ""


def _squares(squares: Iterable[chess.Square]) -> str:
    names = [chess.square_name(square) for square in sorted(squares)]
    return listing(names) if names else ""


def _pinned(board: chess.Board, node: Node, reason: Reason) -> tuple[str, ...]:
    bound = {} if reason.man is None else {each: pinner_of(board, each) for each in men(board, reason.man)}
    pinners = {pinner for pinner in bound.values() if pinner is not None}
    if reason.negated or not pinners:
        return _as_told(board, node, reason)
    held = [square for square, pinner in bound.items() if pinner is not None]
    return _named(board, held), f"by {_named(board, pinners)}", _men(board, reason.target), reason.where


def _guarded(board: chess.Board, _: Node, reason: Reason) -> tuple[str, ...]:
    squares = list(reason.squares) or ([] if reason.man is None else men(board, reason.man))
    guards = list(board.piece_map()) if reason.other is None else men(board, reason.other)
    if reason.negated and reason.other is None:
        guards = []
    reaching = [each for each in guards if any(board.attacks_mask(each) >> square & 1 for square in squares)]
    if not reason.squares:  # a man is protected by its own side
        reaching = [each for each in reaching if any(board.color_at(each) == board.color_at(man) for man in squares)]
    by = _named(board, reaching or (guards if reason.other is not None else ()))
    return _squares(squares) if reason.squares else _named(board, squares), by and f"by {by}"


def _flights(board: chess.Board, node: Node, reason: Reason) -> tuple[str, ...]:
    kings = [king for colour in chess.COLORS if (king := board.king(colour)) is not None]
    kings = kings if reason.man is None else men(board, reason.man)
    return tuple(f"{man_at(board, king)}: {_squares(flights_of(node, king)) or 'none'}" for king in kings[:1])


def _blocked(board: chess.Board, node: Node, reason: Reason) -> tuple[str, ...]:
    there = [] if reason.other is None else [each for each in men(board, reason.other) if each in reason.squares]
    return (_named(board, there),) if there else _as_told(board, node, reason)


def _offered(board: chess.Board, _: Node, reason: Reason) -> tuple[str, ...]:
    return (_men(board, reason.man or reason.other),)


def _changed(board: chess.Board, _: Node, reason: Reason) -> tuple[str, ...]:
    own = re.search(r"\bown\b", reason.text, re.I)
    king = board.king(not board.turn if own else board.turn)
    by = _men(board, reason.other if reason.other is not None and not reason.other.pronoun else None)
    return _squares(reason.squares), f"for {man_at(board, king)}" if king is not None else "", by and f"by {by}"


def _checks(board: chess.Board, *_: object) -> tuple[str, ...]:
    by = _named(board, board.checkers())
    return (by and f"by {by}",)


def _name(_: object, __: object, reason: Reason) -> tuple[str, ...]:
    return (reason.where,)


_OF_KIND: Mapping[ReasonKind, Callable[[chess.Board, Node, Reason], tuple[str, ...]]] = {
    "pinned": _pinned,
    "guarded": _guarded,
    "flights": _flights,
    "blocked": _blocked,
    "sacrifice": _offered,
    "flight_given": _changed,
    "flight_taken": _changed,
    "discovered_check": _checks,
    "double_check": _checks,
    "mate_picture": _name,
    "other_promotion": _name,
}
