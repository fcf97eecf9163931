"""Answers told before the defences they meet: "Queen d7 mates if the rook takes", "Queen d7 against Ra8 and Rb8"."""

from __future__ import annotations

from collections.abc import Sequence

from keyproof.grammar.cues import Stance
from keyproof.grammar.lexicon.lexemes import Lexeme
from keyproof.grammar.moves import Effect
from msgspec.structs import replace

from .values import Frame, Move, Said

_APART = frozenset({"and", "but", "then", "or"})
_OF_LISTS = frozenset({"if", "or"})
_MAY_HAVE = frozenset({"or", "at line"})  # "there is a rook mate on e5 as soon as the pawn takes"
_IDLE = frozenset({"filler", "harmless", "be", "effect"})
_TOLD = ("move", "number", "square")
_NAMES_MAN = frozenset({"man", "article", "our", "side", "both", "quantifier"})


def defences_first(found: list[Frame], given: Sequence[Lexeme]) -> list[Frame]:
    """Put an answer behind the defences that end its sentence where "if" or the like leads from it to them."""
    places = [place for place, frame in enumerate(found) if isinstance(frame, Move)]
    if (turned := _by_numbers(found, places)) is not None:
        return turned
    if (turned := _by_counters(found, given)) is not None:
        return turned
    led = next((index for index, place in enumerate(places) if "if" in found[place].marks), 0)
    if not led:
        return found
    answer, defences = found[places[led - 1]], found[places[led] :]
    before = found[places[led - 2]] if led > 1 else None
    if (
        not isinstance(answer, Move)
        or not _answers(answer)
        or not (before is None or _closes(before) or _begins(before))
    ):
        return found
    defences, rest = _up_to_the_next(defences)
    if not all(map(_defends, defences)) or _part(given, answer, defences[0]):
        return found
    answer = replace(answer, marks=frozenset())
    return [*found[: places[led - 1]], *found[places[led - 1] + 1 : places[led]], *defences, answer, *rest]


def _up_to_the_next(told: list[Frame]) -> tuple[list[Frame], list[Frame]]:
    """Part defences from those behind them that have their own answer: "Qd7 mates if Ra8, and after others Qf8"."""
    led = [place for place, each in enumerate(told) if place and isinstance(each, Move) and "if" in each.marks]
    answered = bool(told) and any(not _defends(each) for each in told)
    return (told[: led[0]], told[led[0] :]) if led and answered else (told, [])


def _by_numbers(found: list[Frame], places: list[int]) -> list[Frame] | None:
    """Turn round a sentence whose numbers tell each answer before its defences: "2.Bf4# (1...c6), 2.Qe3# (1...Ke5)"."""
    starts = [at for at in range(len(places) - 1) if _numbers_tell(found[places[at]], found[places[at + 1]])]
    if not starts:
        return None
    before = found[places[starts[0] - 1]] if starts[0] else None
    if before is not None and _numbers_tell(found[places[starts[0]]], before):
        return None  # it has its defence before it
    if before is not None and not (_closes(before) or (_begins(before) and "if" in found[places[starts[0] + 1]].marks)):
        return None  # "1.Kb2! 2.Qxd5 (after 1...Kd4)", but not "1.Kb2! (2.Qxd5) 1...Kd4"
    turned = found[: places[starts[0]]]
    for at, end in zip(starts, [*starts[1:], len(places)], strict=True):
        stop = places[end] if end < len(places) else len(found)
        answer = found[places[at]]
        defences = [_listed(each, index) for index, each in enumerate(found[places[at] + 1 : stop])]
        last = defences[-1] if defences else None
        if isinstance(answer, Move) and isinstance(last, Move) and last.effects and not _closes(answer):
            # "2.Qxd5 (after 1...Kd4) is mate"
            answer, defences[-1] = (
                replace(answer, effects=last.effects),
                replace(last, effects=()),
            )  # "(after ...) is mate"
        if not isinstance(answer, Move) or not all(map(_defends, defences)):
            return None
        turned += [*defences, replace(answer, marks=frozenset())]
    return turned


def _by_counters(found: list[Frame], given: Sequence[Lexeme]) -> list[Frame] | None:
    """Turn round a sentence that tells what each answer is good against: "Qe1 against Rg8 and Bf4; Rh2 against d2".

    It may as well tell the reply to a first move: "Nd5 against Qe1".
    """
    starts = [place for at, each in enumerate(given) if (place := _countering(found, given, at)) is not None]
    moves = [place for place, frame in enumerate(found) if isinstance(frame, Move)]
    if not starts or starts[0] != moves[0]:
        return None
    turned = found[: starts[0]]
    for start, stop in zip(starts, [*starts[1:], len(found)], strict=True):
        answer, countered = found[start], found[start + 1 : stop]
        told = [each for each in countered if isinstance(each, Move)]
        if not isinstance(answer, Move) or not told or any(each.effects or each.marks - _OF_LISTS for each in told):
            return None
        turned += [*(_listed(each, index) for index, each in enumerate(countered)), replace(answer, marks=frozenset())]
    return turned


def _countering(found: list[Frame], given: Sequence[Lexeme], at: int) -> int | None:
    """Return the place of the move of which a word says what it is good against: "Qe1 against Rg8"."""
    if "counters" not in given[at].categories or at + 1 >= len(given):
        return None
    following, here = given[at + 1], given[at].span
    if following.kind not in _TOLD and not following.categories & _NAMES_MAN and following.sense("pronoun") != "he":
        return None  # "against which nothing helps"
    if "opens" in given[at].categories and not _tells_one_defence(found, here.start):
        return None  # "the queen to c7 when the king goes to g5 queen to f4"
    before = [place for place, each in enumerate(found) if each.span.end <= here.start]
    last = found[before[-1]] if before else None
    if not isinstance(last, Move) or last.vague or last.stance is not Stance.asserted or last.marks - _MAY_HAVE:
        return None
    if last.number is not None and last.number.ply == 1:
        return None
    between = [each for each in given if last.span.end <= each.span.start < here.start]
    apart: tuple[str, ...] = () if "opens" in given[at].categories else ("comma",)  # "queen g7, whether he goes to d5"
    apart = ("comma", "dash", "colon") if _closes(last) else apart  # "queen e7 mate, that's for king e8"
    idle = all(each.kind in apart or each.categories & _IDLE for each in between)
    return before[-1] if idle else None


def _tells_one_defence(found: list[Frame], start: int) -> bool:
    """Tell whether a sentence ends with one move behind a place, and has one before it: "queen g7 if he goes to d5"."""
    behind = [each for each in found if each.span.start >= start]
    first = len(found) - len(behind) == 1
    return first and [each for each in behind if isinstance(each, Move)] == behind[:1] == behind


def _numbers_tell(answer: Frame, defence: Frame) -> bool:
    """Tell whether the numbers say that a move answers the one behind it: "2.Qd4# follows 1...Ke5"."""
    if not isinstance(answer, Move) or not isinstance(defence, Move) or answer.stance is not Stance.asserted:
        return False
    first, second = answer.number, defence.number
    if first is None or second is None or first.ply is None or answer.marks - {"or"}:
        return False
    return not first.second and second.second and second.ply == first.ply - 1


def _begins(told: Frame) -> bool:
    return isinstance(told, Move) and told.number is not None and told.number.ply == 1


def _listed(frame: Frame, index: int) -> Frame:
    """Return a defence that stands behind its answer, one of several if it is not the first."""
    if not isinstance(frame, Move):
        return frame
    return replace(frame, marks=frame.marks - {"then", "if", "but"}, listed=frame.listed or index > 0)


def _answers(told: Move) -> bool:
    first = told.number is not None and not told.number.second and told.number.value == 1
    return _closes(told) and not told.marks - {"or", "then"} and not first and told.stance is Stance.asserted


def _closes(told: Frame) -> bool:
    """Tell whether a move is called mate."""
    if not isinstance(told, Move):
        return False
    printed = [effect for way in told.ways for each in way.choices for effect, _ in each.effects]
    return Effect.mate in [*printed, *(effect for effect, _ in told.effects)]


def _defends(frame: Frame) -> bool:
    if isinstance(frame, Said):
        return frame.kind in ("topic", "reason")
    second = frame.number is not None and frame.number.second and not frame.marks - {"or"}
    led = "if" in frame.marks or frame.listed or "or" in frame.marks or second
    return not frame.effects and not _closes(frame) and led


def _part(given: Sequence[Lexeme], answer: Move, defence: Frame) -> bool:
    """Tell whether words between an answer and a defence part them: "and if he takes", "unless he takes"."""
    between = [each for each in given if answer.span.end <= each.span.start < defence.span.start]
    return any(each.sense("link") in _APART or each.kind == "stop" or each.text.lower() == "unless" for each in between)
