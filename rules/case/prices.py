"""What stretches of text cost on one position: remembered, since a text may be bound again for each key typed."""

from collections.abc import Callable

from keyproof.grammar.spans import Span
from msgspec import Struct, field

Price = tuple[int, bool]

_MOST = 1000
_LONGEST = 20_000  # characters


class Prices(Struct):
    """Prices by the words of a stretch and where they stand on their lines: nothing else makes a difference."""

    known: dict[tuple[str, int, int], Price] = field(default_factory=dict)

    def of(self, masked: str, span: Span, price: Callable[[], Price]) -> Price:
        """Return what a stretch of `masked` costs, by `price` where that is not known."""
        first = masked.rfind("\n", 0, span.start) + 1
        last = masked.find("\n", span.end)
        lines = masked[first : last if last >= 0 else len(masked)]
        if len(lines) > _LONGEST:
            return price()
        if len(self.known) >= _MOST:
            self.known.clear()
        place = lines, span.start - first, span.end - first
        if place not in self.known:
            self.known[place] = price()
        return self.known[place]
