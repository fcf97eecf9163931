"""Whether the literal reading of a text has found all there is, so that the walk through it can find no more."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from keyproof.grammar.clauses import Clause
from keyproof.grammar.lexicon.lexemes import lexemes, says_effect
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Aside, Statement

from .account import account
from .choice import faultless
from .reading import Reading
from .takes import takes
from .told import is_rest

_SAYS_MORE = frozenset(("again", "alike"))


def _says_more(words: str) -> bool:
    """Tell whether some words repeat a move: "1...Nd2 the same"."""
    said = (lexeme.sense("mark") for lexeme in lexemes(words, Span(0, len(words))))
    return any(each in _SAYS_MORE for each in said)


def enough(literal: Reading, statements: Sequence[Statement], clauses: Callable[[], Sequence[Clause]]) -> bool:
    """Tell whether an English text needs no walk: all is printed, or what is told in words stands in its place too.

    The walk adds to a reading without fault only where it places clearly more moves, so that some clause must hold a
    move that the literal reading has not, or where words beside a move call it mate.
    """
    if not literal.mentions or not faultless(literal):
        return False
    asides = [statement.text for statement in statements if isinstance(statement, Aside)]
    if any(says_effect(aside, "mate") or _says_more(aside) for aside in asides):
        return False
    worded = any(mention.phrase.worded and not is_rest(mention.phrase) for mention in literal.mentions)
    if not worded and not any(map(says_effect, asides)):
        return True
    found = account(clauses(), takes(statements, literal))
    return found.placed == found.total
