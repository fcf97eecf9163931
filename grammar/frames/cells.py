"""What a cell of a table of play tells: a reply, an answer, a phase, or nothing."""

from __future__ import annotations

from collections.abc import Sequence

from keyproof.grammar.lexicon.lexemes import Lexeme
from keyproof.grammar.moves import Effect
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import MoveNumber

_PHASES = frozenset(("set", "key", "try"))
_NOTHING = ("dash", "line", "number")  # "–" or "..." in a cell that tells nothing

Cell = list[Lexeme]
Row = list[Cell]
Lines = list[list[Cell]]


def is_phase(cell: Sequence[Lexeme]) -> bool:
    """Tell whether a cell names set play, a try or the key: "set", "1.Qa4?", "key 1.Qb2!"."""
    if not cell:
        return False
    number = next((each.number for each in cell if each.number is not None), None)
    if number is not None:
        return number.ply == 1
    moves = [each.phrase for each in cell if each.phrase is not None]
    if moves:
        return len(moves) == 1 and bool(moves[0].annotation)
    return any(each.sense("mark") in _PHASES for each in cell)


def tells_nothing(cell: Sequence[Lexeme]) -> bool:
    """Tell whether a cell is empty, or holds a dash, dots or a number alone."""
    return all(each.kind in _NOTHING for each in cell)


def replied(cell: Cell) -> Cell:
    """Return a defence with the dots of a reply before it, where it has none."""
    if cell[0].kind not in ("move", "square"):
        return cell
    place = Span(cell[0].span.start, cell[0].span.start)
    return [Lexeme("number", place, "", number=MoveNumber(place, None, True)), *cell]


def mates(cell: Sequence[Lexeme]) -> bool:
    """Tell whether a cell holds a sign or a word for mate."""
    phrases = (each.phrase for each in cell if each.phrase is not None)
    printed = any(effect is Effect.mate for phrase in phrases for effect, _ in phrase.effects)
    return printed or any(each.sense("effect") == "mate" for each in cell)


def defends(cell: Sequence[Lexeme]) -> bool:
    """Tell whether a cell is a reply: "1...Kd5", "...Kd5", or the move alone."""
    number = cell[0].number if cell else None
    if number is None:
        return len(cell) == 1 and cell[0].kind in ("move", "square")
    return number.second and len(cell) > 1 and cell[1].kind in ("move", "square")


def answers(cell: Sequence[Lexeme]) -> bool:
    """Tell whether a cell begins with a move of the attacker."""
    number = cell[0].number if cell else None
    if number is not None:
        return not number.second and len(cell) > 1 and cell[1].kind in ("move", "square")
    return bool(cell) and cell[0].kind in ("move", "square")


def holds_play(cell: Cell) -> bool:
    """Tell whether any move, square or number stands in a cell."""
    return any(each.kind in ("move", "square", "number") for each in cell)
