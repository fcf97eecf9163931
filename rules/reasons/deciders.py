"""Which function decides which kind of reason."""

from collections.abc import Mapping

from keyproof.grammar.statements import ReasonKind

from .judging import Decider
from .pins import pinned

DECIDERS: Mapping[ReasonKind, Decider] = {
    "pinned": pinned,
}
