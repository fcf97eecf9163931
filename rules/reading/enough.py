"""Whether the literal reading has found all there is in a text, so that the walk finds no more, or most of it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeGuard

from keyproof.grammar.clauses import Clause
from keyproof.grammar.cues import Stance
from keyproof.grammar.frames.values import Frame, Move, Said
from keyproof.grammar.lexicon.lexemes import lexemes, says_effect
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Aside, Break, Statement, Turn

from .account import Account
from .choice import BESIDE
from .reading import Reading
from .tally import faultless, true_mentions

_SAYS_MORE = frozenset(("again", "alike"))


def _says_more(words: str) -> bool:
    """Tell whether some words repeat a move: "1...Nd2 the same"."""
    said = (lexeme.sense("mark") for lexeme in lexemes(words, Span(0, len(words))))
    return any(each in _SAYS_MORE for each in said)


_FOLLOWED = 0.75  # of the clauses that hold chess


def enough(literal: Reading, statements: Sequence[Statement], placed: Account) -> bool:
    """Tell whether an English text needs no walk: all is printed, or what is told in words stands in its place too.

    The walk adds to a reading without fault only where it places clearly more moves, so that some clause must hold a
    move that the literal reading has not, or where words beside a move call it mate.
    """
    if not literal.mentions or not faultless(literal):
        return False
    if placed.placed < placed.total:
        return False
    given = [each for each in statements if not (isinstance(each, Break) and each.kind in ("line", "comma"))]
    for aside, following in zip(given, (*given[1:], None), strict=True):
        if isinstance(aside, Aside) and (
            says_effect(aside.text, "mate") or (not isinstance(following, Turn) and _says_more(aside.text))
        ):
            return False  # but not at "for instance 1.Qe2+? Kd4!", where the moves are told
    return True


def no_more_told(literal: Reading, frames: Sequence[Frame], clauses: Sequence[Clause]) -> bool:
    """Tell whether the walk cannot count against the literal reading of an English text, whatever it would find.

    Against a reading without fault it counts only where it places two moves more (`choice.united`), or calls a move
    mate by words beside it. Each frame of which it may be sure is put in one place, with all the
    moves of one of its ways; what is told again has no more moves than another frame.
    """
    if not literal.mentions or not faultless(literal):
        return False
    moves = [max(len(way.choices) for way in frame.ways) for frame in frames if _may_be_sure(frame)]
    again = sum(isinstance(frame, Said) and frame.kind == "again" for frame in frames)
    if sum(moves) + again * max(moves, default=0) > true_mentions(literal) + 1:
        return False
    ends = [mention.phrase.span.end for mention in literal.mentions]
    mates = [place.start for clause in clauses for place in clause.mates]
    return not any(0 <= mate - end <= BESIDE for mate in mates for end in ends)


def _may_be_sure(frame: Frame) -> TypeGuard[Move]:
    sure = isinstance(frame, Move) and frame.stance is Stance.asserted and not (frame.uncovered and not frame.printed)
    return sure


def follows(placed: Account, literal: Reading) -> bool:
    """Tell whether the literal reading has followed a text: it has `placed` most of it, or moves with their numbers.

    Of moves that are printed with their numbers it knows the place, however false they are.
    """
    numbered = sum(mention.turn.number is not None for mention in literal.mentions)
    return placed.placed >= _FOLLOWED * placed.total or 2 * numbered >= len(literal.mentions)
