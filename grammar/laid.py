"""Parts of a text laid one behind the other, to be read as if they stood so: the lines of a column, a broken string."""

from msgspec import Struct
from msgspec.structs import replace

from .document import Diagram, MenCount
from .spans import Span


class Laid(Struct, frozen=True):
    """What the parts of a text say together, and where each of its signs stands there."""

    text: str
    places: tuple[int, ...]

    def then(self, text: str, part: Span, between: str = "") -> "Laid":
        """Return this with a part of a text behind it; signs `between` stand at the end of what is before."""
        at = self.places[-1] if self.places else part.start
        return Laid(self.text + between + part.of(text), (*self.places, *(at for _ in between), *range(*part)))

    def span(self, within: Span) -> Span:
        """Return the place in the whole text of a stretch that is not empty."""
        return Span(self.places[within.start], self.places[within.end - 1] + 1)

    def signs(self, within: Span) -> tuple[Span, ...]:
        """Return what a stretch takes of the whole text, in order, one span for what stands there without a gap."""
        found: list[Span] = []
        for place in self.places[within.start : within.end]:
            if found and place <= found[-1].end:
                found[-1] = Span(found[-1].start, place + 1)
            else:
                found.append(Span(place, place + 1))
        return tuple(found)

    def told(self, diagram: Diagram, shown: Span) -> Diagram:
        """Return a position that was read here as one of the whole text, shown at a place there."""
        counts = [MenCount(self.span(each.span), each.number, each.colours, each.or_both) for each in diagram.counts]
        return replace(
            diagram,
            span=shown,
            piece_spans={square: self.span(span) for square, span in diagram.piece_spans.items()},
            castling_span=self.span(diagram.castling_span) if diagram.castling_span is not None else None,
            counts=tuple(counts),
        )


NOTHING = Laid("", ())
