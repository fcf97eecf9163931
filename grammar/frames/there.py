"""Squares to which a word for a mate points back: "she looks at b5 and c4, where she means to mate"."""

from __future__ import annotations

from collections.abc import Sequence

from keyproof.grammar.cues import Stance
from keyproof.grammar.lexicon.lexemes import Lexeme
from keyproof.grammar.moves import Effect

from .drafts import finished
from .values import Draft, Frame, Move, Said, Who

_FAR = 8  # words between "there" and the mate
_NEAR = 4  # words between "looks at" and the squares, or the squares and "there"
_BARS = frozenset({"deny", "prevents", "lose"})
_ENDS = ("stop", "question", "semicolon")


def with_there(found: list[Frame], given: Sequence[Lexeme], text: str) -> list[Frame]:
    """Return the frames of a sentence with the mates that are told to come where a man looks."""
    for place, lexeme in enumerate(given):
        if "there" not in lexeme.categories or (place + 1 < len(given) and "be" in given[place + 1].categories):
            continue  # "there is a mate"
        mate = _mate_behind(given, place)
        squares = _looked_at(given, place)
        if mate is None or not squares or any(_overlaps(each, square) for each in found for square in squares):
            continue
        who = _whose(found, given, place, mate)
        if who is None:
            continue
        draft = Draft(squares[0].span.start, squares[-1].span.end, who=who, verb="go", marks={"threat"})
        draft.to = [(each.square, each.span) for each in squares if each.square is not None]
        draft.effects = [(Effect.mate, given[mate].span)]
        kept = [each for each in found if not _says_mate(each, given[mate])]
        return sorted([*kept, finished(draft, text, ())], key=lambda each: each.span.start)
    return found


def _mate_behind(given: Sequence[Lexeme], place: int) -> int | None:
    """Return where it is said that this mates; None if anything else is told before."""
    for index in range(place + 1, min(len(given), place + _FAR)):
        each = given[index]
        if each.kind in ("square", "move", "number", *_ENDS) or each.categories & _BARS or each.sense("count") == "0":
            return None
        if each.sense("effect") == "mate":
            return index
    return None


def _looked_at(given: Sequence[Lexeme], place: int) -> list[Lexeme]:
    """Return the squares told just before a place that somebody looks at."""
    index = place - 1
    while index >= 0 and place - index <= _FAR and given[index].kind != "square":
        if given[index].kind in _ENDS or "effect" in given[index].categories:
            return []
        index -= 1
    squares: list[Lexeme] = []
    while index >= 0 and (given[index].kind in ("square", "comma") or given[index].sense("link") in ("and", "or")):
        if given[index].kind == "square":
            squares.insert(0, given[index])
        index -= 1
    looks = given[max(0, index - _NEAR + 1) : index + 1]
    return squares if any(each.categories & {"guard", "gaze"} for each in looks) else []


def _whose(found: Sequence[Frame], given: Sequence[Lexeme], place: int, mate: int) -> Who | None:
    """Return the man who mates: the one named between the words, else the one who looks."""
    told = [each for each in found if isinstance(each, Said) and each.kind in ("topic", "reason") and each.who]
    between = [each.who for each in told if given[place - 1].span.start <= each.span.start <= given[mate].span.start]
    before = [each.who for each in told if each.span.start < given[place].span.start]
    who = next((each for each in reversed([*before, *between]) if each is not None), None)
    if who is None:
        return Who(given[place].span, pronoun="it")
    return None if who.pronoun == "he" and not who.kinds else Who(who.span, who.kinds, who.colour, pronoun=who.pronoun)


def _overlaps(frame: Frame, square: Lexeme) -> bool:
    return isinstance(frame, Move) and not frame.aside and frame.span.overlaps(square.span)


def _says_mate(frame: Frame, mate: Lexeme) -> bool:
    """Tell whether a frame is the word for mate, and asserts nothing else."""
    plain = isinstance(frame, Said) and frame.kind == "effect" and frame.stance is Stance.asserted
    return plain and frame.span.overlaps(mate.span)
