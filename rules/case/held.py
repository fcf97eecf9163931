"""A finding that may not stand."""

from keyproof.grammar.spans import Span
from msgspec import Struct

from ..finding import Finding


class Held(Struct, frozen=True):
    """A finding set aside because of `words` that nothing covers or, where there are none, of what stands around it."""

    finding: Finding
    words: tuple[Span, ...] = ()
