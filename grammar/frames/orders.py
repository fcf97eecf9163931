"""Answers told before the defences they meet: "Queen d7 mates if the rook takes"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from keyproof.grammar.cues import Stance
from keyproof.grammar.lexicon.lexemes import Lexeme
from keyproof.grammar.moves import Effect

from .values import Frame, Move, Said

_APART = frozenset({"and", "but", "then", "or"})


def defences_first(found: list[Frame], given: Sequence[Lexeme]) -> list[Frame]:
    """Put an answer behind the defences that end its sentence where "if" or the like leads from it to them."""
    places = [place for place, frame in enumerate(found) if isinstance(frame, Move)]
    led = next((index for index, place in enumerate(places) if "if" in found[place].marks), 0)
    if not led:
        return found
    answer, defences = found[places[led - 1]], found[places[led] :]
    before = found[places[led - 2]] if led > 1 else None
    if not isinstance(answer, Move) or not _answers(answer) or not (before is None or _closes(before)):
        return found
    if not all(map(_defends, defences)) or _part(given, answer, defences[0]):
        return found
    answer = replace(answer, marks=frozenset())
    return [*found[: places[led - 1]], *found[places[led - 1] + 1 : places[led]], *defences, answer]


def _answers(told: Move) -> bool:
    first = told.number is not None and not told.number.second and told.number.value == 1
    return _closes(told) and not told.marks - {"or"} and not first and told.stance is Stance.asserted


def _closes(told: Frame) -> bool:
    """Tell whether a move is called mate."""
    if not isinstance(told, Move):
        return False
    printed = [effect for way in told.ways for each in way.choices for effect, _ in each.effects]
    return Effect.mate in [*printed, *(effect for effect, _ in told.effects)]


def _defends(frame: Frame) -> bool:
    if isinstance(frame, Said):
        return frame.kind in ("topic", "reason")
    return not frame.effects and not _closes(frame) and ("if" in frame.marks or frame.listed or "or" in frame.marks)


def _part(given: Sequence[Lexeme], answer: Move, defence: Frame) -> bool:
    """Tell whether words between an answer and a defence part them: "and if he takes", "unless he takes"."""
    between = [each for each in given if answer.span.end <= each.span.start < defence.span.start]
    return any(each.sense("link") in _APART or each.kind == "stop" or each.text.lower() == "unless" for each in between)
