"""Whether the literal reading has found all there is in a text, so that the walk finds no more, or most of it."""

from __future__ import annotations

from collections.abc import Sequence

from keyproof.grammar.lexicon.lexemes import lexemes, says_effect
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Aside, Break, Statement, Turn

from .account import Account
from .reading import Reading
from .tally import faultless

_SAYS_MORE = frozenset(("again", "alike"))


def _says_more(words: str) -> bool:
    """Tell whether some words repeat a move: "1...Nd2 the same"."""
    said = (lexeme.sense("mark") for lexeme in lexemes(words, Span(0, len(words))))
    return any(each in _SAYS_MORE for each in said)


BESIDE = 4  # signs between a move and the words that call it mate: " is "
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
