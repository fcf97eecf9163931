"""All moves of a man, counted before it is told what answers them: "the knight has four moves, and none stops Qg7"."""

from __future__ import annotations

from collections.abc import Sequence

from keyproof.grammar.cues import Stance
from keyproof.grammar.lexicon.lexemes import Lexeme
from keyproof.grammar.spans import Span
from msgspec.structs import replace

from .drafts import finished
from .men import man_at
from .posed import with_posed
from .values import Draft, Frame, Move, Who

_SMALL = frozenset({"article", "our", "own", "filler", "this", "harmless"})
_VERDICT = frozenset({"deny", "each", "both", "quantifier", "whichever", "either"})
_ALIKE = ("together", "again", "alike", "futile", "refutes", "any")
_ENDS = ("stop", "question")


def with_men_named(found: list[Frame], given: Sequence[Lexeme], text: str) -> list[Frame]:
    """Return the frames of a sentence with the moves that may be meant where no more than a man is named."""
    return with_disposal(with_posed(found, given, text), given, text)


def with_disposal(found: list[Frame], given: Sequence[Lexeme], text: str) -> list[Frame]:
    """Return the frames of a sentence with the moves of a man of which it says what answers each."""
    counted = _counted(given)
    if counted is None:
        return found
    who, end = counted
    span = Span(who.span.start, given[end - 1].span.end)
    told = [each for each in found if isinstance(each, Move) and not each.aside and not _within(each, span)]
    if len(told) != 1 or told[0].span.start < span.end or told[0].vague or told[0].marks & {"if", "key"}:
        return found
    if told[0].bare:  # "the king has but one reply, h1, and it suffices"
        return found
    answer = told[0]
    draft = Draft(span.start, span.end, who=replace(who, indefinite=False, object=False), verb="go", every=True)
    kept = [each for each in found if each is not answer and not (_within(each, span) and _names(each))]
    before = [each for each in kept if each.span.start < answer.span.start]
    answered = replace(answer, marks=(answer.marks - {"refute"}) | {"then"}, stance=Stance.asserted)
    return [*before, finished(draft, text, ()), answered, *kept[len(before) :]]


def _counted(given: Sequence[Lexeme]) -> tuple[Who, int] | None:
    """Return the man whose moves are counted with a word on all or none of them, and where the count ends."""
    for at, each in enumerate(given):
        if each.sense("unit") != "move" and "means" not in each.categories:
            continue
        counts = [before for before in given[max(0, at - 3) : at] if "count" in before.categories]
        behind = given[at + 1 : at + 2]
        if behind and "of" in behind[0].categories and (named := man_at(given, at + 2)) is not None:
            who, end = named
            verdict = bool(counts) or any(map(_judges, given[max(0, at - 4) : at]))
        elif counts and (owned := _owner(given, at)) is not None:
            who, end = owned, at + 1
            verdict = any(map(_judges, given[at + 1 :]))
        else:
            continue
        if verdict and who.kinds and not who.plural:
            return who, end
    return None


def _owner(given: Sequence[Lexeme], unit: int) -> Who | None:
    """Return the man who is told to have so many moves: "his own knight over on g5 has five ways to go"."""
    has = next((at for at in range(unit - 1, -1, -1) if "have" in given[at].categories), None)
    if has is None or unit - has > 4:
        return None
    start = next((at for at in range(has) if (man := man_at(given, at)) is not None and man[0].kinds), None)
    if start is None or any(each.kind in _ENDS for each in given[start:has]):
        return None
    named = man_at(given, start)
    assert named is not None
    who, end = named
    squares = [each for each in given[end:has] if each.kind == "square"]
    if len(squares) == 1 and who.square is None:
        return replace(who, square=squares[0].square)
    return who if not squares and all(each.categories & _SMALL for each in given[end:has]) else None


def _judges(word: Lexeme) -> bool:
    return bool(word.categories & _VERDICT) or word.sense("count") == "0" or word.sense("mark") in _ALIKE


def _names(frame: Frame) -> bool:
    """Tell whether a frame names a man, with what he does or without."""
    return isinstance(frame, Move) or frame.kind == "topic"


def _within(frame: Frame, span: Span) -> bool:
    return frame.span.start < span.end and span.start < frame.span.end
