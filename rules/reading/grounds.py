"""Why a defence defends, told as a guard: "1...Rg8 eyes g1" tells what would answer the mate that is threatened there.

It stands in the reading as that reply, the threat supposed.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress

import chess
from keyproof.grammar.moves import MovePhrase
from keyproof.grammar.statements import Man, Reason, Turn

from ..play.node import Node
from .reading import Mention, PlacedReason, Reading, Role, State
from .walk.oracle import Oracle
from .walk.threats import Threats
from .work import RunsAway


def with_grounds(found: Reading, oracle: Oracle) -> Reading:
    """Return a reading with what the guards told of defences would answer."""
    with suppress(RunsAway):
        found.parries += list(_grounds(found, Threats(oracle)))
    return found


def _grounds(found: Reading, threats: Threats) -> Iterator[Mention]:
    told = [end for mention in found.mentions for end in mention.after]
    for placed in found.reasons:
        if placed.reason.kind == "guarded" and placed.reason.squares and not placed.reason.negated:
            yield from _answers(placed, threats, told)


def _answers(placed: PlacedReason, threats: Threats, told: list[Node]) -> Iterator[Mention]:
    """Yield the replies that a guard tells, of the defence that it most likely speaks of."""
    defences = dict.fromkeys(found for node in placed.nodes if (found := threats.defence(node)) is not None)
    for defence in defences:
        nodes = threats.behind(defence, told)
        ways = {square: _ways(nodes, defence, square, placed.reason) for square in placed.reason.squares}
        if any(ways.values()):
            yield from (_mention(placed.reason, square, way) for square, way in ways.items() if way)
            return


def _ways(nodes: list[Node], defence: Node, square: chess.Square, reason: Reason) -> list[tuple[Node, list[Node]]]:
    assert defence.move is not None
    ways = []
    for node in nodes:
        board = node.board
        moves = [
            move
            for move in board.legal_moves
            if move.to_square == square and _is(reason.other, move.from_square, board, defence.move.to_square)
        ]
        if moves:
            ways.append((node, [node.play(move) for move in moves]))
    return ways


def _is(man: Man | None, square: chess.Square, board: chess.Board, moved: chess.Square) -> bool:
    """Tell whether the man on a square may be the one that guards: as he is named, or he that has just moved."""
    if man is None or man.moved or not (man.kinds or man.squares):
        return square == moved
    if man.colour not in (None, board.turn) or (man.squares and square not in man.squares):
        return False
    return not man.kinds or board.piece_type_at(square) in man.kinds


def _mention(reason: Reason, square: chess.Square, ways: list[tuple[Node, list[Node]]]) -> Mention:
    phrase = MovePhrase(reason.span, reason.text, destination=square, worded=True)
    turn = Turn(reason.span, None, (phrase,), ())
    return Mention(phrase, turn, Role.defence, State.read, ways, frozenset(), ())
