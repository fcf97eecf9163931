"""Whether the literal reading of a text has found all there is, so that the walk through it can find no more."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from keyproof.grammar.clauses import Clause
from keyproof.grammar.lexicon.lexemes import says_effect
from keyproof.grammar.statements import Aside, Statement

from .account import account
from .choice import faultless
from .reading import Reading
from .takes import takes
from .told import is_rest


def enough(literal: Reading, statements: Sequence[Statement], clauses: Callable[[], Sequence[Clause]]) -> bool:
    """Tell whether an English text needs no walk: all is printed, or what is told in words stands in its place too.

    The walk adds to a reading without fault only where it places clearly more moves, so that some clause must hold a
    move that the literal reading has not, or where words beside a move call it mate.
    """
    if not literal.mentions or not faultless(literal):
        return False
    asides = [statement.text for statement in statements if isinstance(statement, Aside)]
    if any(says_effect(aside, "mate") for aside in asides):
        return False
    worded = any(mention.phrase.worded and not is_rest(mention.phrase) for mention in literal.mentions)
    if not worded and not any(map(says_effect, asides)):
        return True
    found = account(clauses(), takes(statements, literal))
    return found.placed == found.total
