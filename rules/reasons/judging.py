"""Three verdicts on a reason: it holds somewhere, it holds nowhere, or that cannot be told."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

import chess
from keyproof.grammar.statements import Man, Reason
from msgspec import Struct
from msgspec.structs import replace

from ..board.names import man_at
from ..play.node import Node
from ..reading.reading import PlacedReason, Reading
from .impossible import impossible

Verdict = Literal["right", "wrong", "undecided"]


class Judged(Struct, frozen=True):
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
    if never := impossible(placed.reason):
        return Judged("wrong", never, (), placed.nodes[0])
    found: dict[Verdict, Judged] = {}
    for node in placed.nodes:
        judged = decide(node, placed.reason)
        if judged is not None:
            found.setdefault(judged.verdict, replace(judged, node=judged.node or node))
            if judged.verdict == "right":
                break
    if "right" in found or "undecided" in found:
        return found.get("right") or UNDECIDED
    if not placed.sure:
        return UNDECIDED
    return found.get("wrong") or _nobody(placed, reading)


def _nobody(placed: PlacedReason, reading: Reading) -> Judged:
    """Judge a reason whose men stand in none of its positions: wrong if one of them stands nowhere in the text."""
    nodes = [reading.diagram, *(node for mention in reading.mentions for node in mention.after)]
    for man in (placed.reason.man, placed.reason.other):
        if man is None or man.pronoun or not man.kinds or any(men(node.board, man) for node in nodes):
            continue
        node = placed.nodes[0]
        return Judged("wrong", _missing(node.board, man), (), node)
    return UNDECIDED


def _missing(board: chess.Board, man: Man) -> str:
    """Say that a man does not stand where it is said to stand, or is not there at all."""
    name = "" if man.colour is None else f"{chess.COLOR_NAMES[man.colour]} "
    name += chess.piece_name(man.kinds[0])
    if not man.squares:
        return f"there is no such {name}"
    absent = [square for square in man.squares if not men(board, replace(man, squares=(square,)))]
    square = absent[0] if absent else man.squares[0]
    where = f"no {name} stands on {chess.square_name(square)}"
    return f"{where}: it is {man_at(board, square)}" if board.piece_at(square) else f"{where}, which is empty"


def printed(node: Node) -> str:
    """Return the move that led to a position, with its number: "2.Qb6#"."""
    assert node.parent is not None
    assert node.move is not None
    return f"{node.parent.number}{node.parent.board.san(node.move)}"


def to_move(node: Node, colour: chess.Color) -> Node | None:
    """Return the position with this side to move, after a pass where it is not; None where a pass has no meaning."""
    return node if node.board.turn == colour else node.pass_move()


def shown(start: Node, moved: Node, move: chess.Move) -> tuple[chess.Move, ...]:
    """Return the moves from `start` that end with `move`, where `moved` is `to_move` of it."""
    return (move,) if moved is start else (chess.Move.null(), move)


def men(board: chess.Board, man: Man) -> list[chess.Square]:
    """Return where the men stand that a description fits; none where not all of several named squares hold one."""
    found = [square for square, piece in board.piece_map().items() if fits(square, piece, man)]
    return found if len(found) >= len(man.squares) else []


def fits(square: chess.Square, piece: chess.Piece, man: Man) -> bool:
    """Tell whether a man on a square agrees with a description."""
    if man.colour is not None and piece.color != man.colour:
        return False
    if man.squares and square not in man.squares:
        return False
    if man.corner and not chess.BB_CORNERS & chess.BB_SQUARES[square]:
        return False
    if man.file is not None and chess.square_file(square) != man.file:
        return False
    if man.light is not None and bool(chess.BB_LIGHT_SQUARES & chess.BB_SQUARES[square]) != man.light:
        return False
    return piece.piece_type in man.kinds


def says_all(man: Man) -> bool:
    """Tell whether a claim is made of every man a description fits: "the black pawns", "the pawns on f4 and g2"."""
    return len(man.squares) > 1 or (man.plural and man.colour is not None)


def colour_of(board: chess.Board, square: chess.Square) -> chess.Color:
    """Return the side of the man on an occupied square."""
    colour = board.color_at(square)
    assert colour is not None
    return colour
