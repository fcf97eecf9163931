"""What can be told of a unit of text before it is played."""

from __future__ import annotations

from keyproof.grammar.moves import Effect, MovePhrase, Sort
from keyproof.grammar.statements import Break, Statement, Turn
from msgspec.structs import replace

from ..play.node import Node
from .reading import Mention, Role
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
        match statement:
            case Turn():
                return statement
            case Break() if statement.kind not in ("comma", "open", "close"):
                return None
    return None


def names_a_man(node: Node, phrase: MovePhrase) -> bool:
    """Tell whether a phrase names a man where he stands."""
    if phrase.destination is None or phrase.piece is None:
        return False
    return node.board.piece_type_at(phrase.destination) == phrase.piece


def is_loose(unit: Unit) -> bool:
    """Tell whether a single move in words stands without all that would say from which position it is played.

    Where such words are true nowhere, they may as well have been taken wrongly.
    """
    if unit.intro - {"if", "but"} or unit.mode or any(turn.number is not None for turn in unit.turns):
        return False
    first = unit.turns[0].choices[0]
    if unit.intro and (len(unit.turns) > 1 or (first.exact and not (first.effects or unit.turns[0].effects))):
        return False
    phrases = [phrase for turn in unit.turns for phrase in turn.choices]
    claims = any(turn.effects for turn in unit.turns) or any(phrase.exact or phrase.effects for phrase in phrases)
    return all(phrase.worded for phrase in phrases) and (len(unit.turns) == 1 or not claims)


def first_role(mention: Mention, unit: Unit) -> Role:
    """Return what the author takes a first move for."""
    annotation = mention.phrase.annotation
    if annotation in ("?", "??", "?!"):
        return Role.try_
    if annotation in ("!", "!!") or unit.mode == "key":
        return Role.key
    tries = unit.mode == "try" and (unit.fresh or not mention.phrase.worded)
    return Role.try_ if tries else Role.first
