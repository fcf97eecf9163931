"""Squares told to be open to the king: "leaves the king g3", "opens e5", "a3 is free", "with a flight on h7".

He may go there once he is attacked, which is why a defence defends: for the walk such a square is a move of his that
may be made, and may be passed over.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

import chess
from keyproof.grammar.lexicon.lexemes import Lexeme
from keyproof.grammar.moves import MovePhrase
from msgspec.structs import replace

from .values import Frame, Move, Way, Who

_BETWEEN = frozenset(
    {"article", "our", "own", "side", "filler", "to", "at", "by", "toward", "unit", "count", "mark", "other", "away"}
)
_LINKS = ("and", "or")


def with_openings(found: list[Frame], given: Sequence[Lexeme], text: str) -> list[Frame]:
    """Return the frames of a sentence with the squares that are told to be open to the king."""
    told = list(found)
    left = {each.span.start for each, behind in pairwise(given) if "vacant" in behind.categories}
    for square in _opened(given):
        place = next((place for place, each in enumerate(told) if _holds(each, square)), None)
        if place is None:
            told.append(_king_to(square, text))
        else:
            frame = told[place]
            assert isinstance(frame, Move)
            becomes = any(way.choices[0].promotion_span is not None for way in frame.ways)  # "e5 becomes free"
            no_move = becomes or square.span.start in left  # "they leave h1 free": nobody has gone there
            told[place] = _king_to(square, text) if no_move else replace(frame, opened=True)
    return told if len(told) == len(found) else sorted(told, key=lambda each: each.span.start)


def _opened(given: Sequence[Lexeme]) -> Iterator[Lexeme]:
    for place, lexeme in enumerate(given):
        if "frees" in lexeme.categories:
            yield from _squares(given, _behind(given, place + 1))
        elif lexeme.kind == "square" and _is_vacant(given[place + 1 :]):
            yield lexeme


def _behind(given: Sequence[Lexeme], place: int) -> int:
    """Return where the squares may begin that somebody is given: "leaves the king", "provides a flight on"."""
    while place < len(given) and (given[place].categories & _BETWEEN or _is_king(given[place])):
        place += 1
    return place


def _is_king(lexeme: Lexeme) -> bool:
    return lexeme.sense("man") == "king" or lexeme.sense("pronoun") in ("he", "his")


def _squares(given: Sequence[Lexeme], place: int) -> Iterator[Lexeme]:
    """Yield the squares of a list that begins at a place."""
    while place < len(given) and given[place].kind == "square":
        yield given[place]
        place += 1
        joined = place < len(given) and (given[place].kind == "comma" or given[place].sense("link") in _LINKS)
        place += joined


def _is_vacant(behind: Iterable[Lexeme]) -> bool:
    """Tell whether it is said of a square just named that it is open: "is free now", "becomes available"."""
    verb = False
    for each in behind:
        if verb and "vacant" in each.categories:
            return True
        verb = verb or "be" in each.categories or "promote" in each.categories
        if not (verb and each.categories & {"be", "promote", "filler", "anchor"}):
            return False
    return False


def _holds(frame: Frame, square: Lexeme) -> bool:
    """Tell whether a frame is a move to a square and nowhere else."""
    if not isinstance(frame, Move) or not frame.span.overlaps(square.span):
        return False
    return all(len(way.choices) == 1 and way.choices[0].destination == square.square for way in frame.ways)


def _king_to(square: Lexeme, text: str) -> Move:
    who = Who(square.span, (chess.KING,))
    phrase = MovePhrase(square.span, square.span.of(text), piece=chess.KING, destination=square.square, worded=True)
    return Move(square.span, (Way((phrase,)),), who=who, aside=True, opened=True, uncovered=(square.span,))
