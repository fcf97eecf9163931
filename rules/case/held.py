"""A finding that may not stand."""

from dataclasses import dataclass

from keyproof.grammar.spans import Span

from ..finding import Finding


@dataclass(frozen=True)
class Held:
    """A finding set aside because of `words` that nothing covers or, where there are none, of what stands around it."""

    finding: Finding
    words: tuple[Span, ...] = ()
