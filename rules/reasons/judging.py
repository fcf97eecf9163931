"""Three verdicts on a reason: it holds somewhere, it holds nowhere, or that cannot be told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

import chess
from keyproof.grammar.statements import Man, Reason

from ..play import Node
from ..why import man_at
from .placing import PlacedReason

if TYPE_CHECKING:
    from ..reading import Reading

Verdict = Literal["right", "wrong", "undecided"]


@dataclass(frozen=True)
class Judged:
    """What was found of a reason, in which position; where it is wrong, why, and the moves there that show it."""

    verdict: Verdict
    why: str = ""
    moves: tuple[chess.Move, ...] = ()
    node: Node | None = None


RIGHT = Judged("right")
UNDECIDED = Judged("undecided")

Decider = Callable[[Node, Reason], Judged | None]
"""Judges a reason in one position; None where the men it speaks of do not stand."""


def judge(placed: PlacedReason, decide: Decider, reading: Reading) -> Judged:
    """Judge a reason in every position it may speak of: it is wrong only if it holds in none of them."""
    found: Judged | None = None
    for node in placed.nodes:
        judged = decide(node, placed.reason)
        if judged is not None and judged.verdict != "wrong":
            return replace(judged, node=node)
        if judged is not None and found is None:
            found = replace(judged, node=node)
    if found is not None:
        return found
    return _nobody(placed, reading)


def _nobody(placed: PlacedReason, reading: Reading) -> Judged:
    """Judge a reason whose men stand in none of its positions: wrong if its man stands nowhere in the text."""
    man = placed.reason.man
    if man is None or not man.squares or not man.kinds or not placed.nodes:
        return UNDECIDED
    nodes = [reading.diagram, *(node for mention in reading.mentions for node in mention.after)]
    if any(men(node.board, man) for node in nodes):
        return UNDECIDED
    node = placed.nodes[0]
    return Judged("wrong", missing(node.board, man), (), node)


def missing(board: chess.Board, man: Man) -> str:
    """Say that a man does not stand where it is said to stand."""
    square = man.squares[0]
    there = man_at(board, square) if board.piece_at(square) else ""
    name = chess.piece_name(man.kinds[0])
    if man.colour is not None:
        name = f"{chess.COLOR_NAMES[man.colour]} {name}"
    where = chess.square_name(square)
    return f"no {name} stands on {where}" + (f": it is {there}" if there else ", which is empty")


def men(board: chess.Board, man: Man) -> list[chess.Square]:
    """Return where the men stand that a description fits."""
    return [square for square, piece in board.piece_map().items() if fits(square, piece, man)]


def fits(square: chess.Square, piece: chess.Piece, man: Man) -> bool:
    """Tell whether a man on a square agrees with a description."""
    if man.colour is not None and piece.color != man.colour:
        return False
    if man.squares and square not in man.squares:
        return False
    if man.file is not None and chess.square_file(square) != man.file:
        return False
    if man.light is not None and bool(chess.BB_LIGHT_SQUARES & chess.BB_SQUARES[square]) != man.light:
        return False
    return piece.piece_type in man.kinds
