"""What can be told of a unit of text before it is played."""

from __future__ import annotations

from dataclasses import replace

from keyproof.grammar.moves import Effect, MovePhrase, Sort
from keyproof.grammar.statements import Break, Statement, Turn

from ..play.node import Node
from .replay import Unit


def is_vague(turn: Turn) -> bool:
    """Tell whether words name a man and nothing of where he goes."""
    phrase = turn.choices[0]
    told = phrase.names_destination or phrase.capture or phrase.castling or phrase.effects or turn.effects
    return phrase.sort is Sort.any_of_piece and not told


def one_move(unit: Unit) -> Unit | None:
    """Take "when the rook goes away the bishop gives check" as one move and what is said of it."""
    if len(unit.turns) < 2:
        return None
    told, other = unit.turns[0], unit.turns[1].choices[0]
    vague = told.choices[0].sort is Sort.any_of_piece and not told.choices[0].names_destination
    if not vague or other.exact or other.capture or other.names_destination or not other.effects:
        return None
    if any(effect is not Effect.check for effect, _ in other.effects):
        return None
    return replace(unit, turns=[replace(told, effects=told.effects + other.effects), *unit.turns[2:]])


def next_turn_after(statements: list[Statement], start: int) -> Turn | None:
    """Return the next half-move of the same sentence."""
    for statement in statements[start:]:
        if isinstance(statement, Turn):
            return statement
        if isinstance(statement, Break) and statement.kind not in ("comma", "open", "close"):
            return None
    return None


def names_a_man(node: Node, phrase: MovePhrase) -> bool:
    """Tell whether a phrase names a man where he stands."""
    if phrase.destination is None or phrase.piece is None:
        return False
    return node.board.piece_type_at(phrase.destination) == phrase.piece
