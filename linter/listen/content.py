"""What tells one puzzle of a text from another whatever stands above it: its lines, and where its parts lie in them."""

from bisect import bisect_right

from keyproof.grammar.document import Document, PuzzleText
from keyproof.grammar.spans import Lines, Span

Key = tuple[object, ...]


def pieces_of(puzzle: PuzzleText, lines: Lines) -> tuple[Span, ...]:
    """Return the lines a puzzle stands in, as stretches in order."""
    spans = [puzzle.span, *puzzle.prose, *puzzle.headings, *(diagram.span for diagram in puzzle.diagrams)]
    merged: list[Span] = []
    for span in sorted(spans):
        first = lines.line_span(lines.place(span.start)[0]).start
        last = lines.line_span(lines.place(max(span.start, span.end))[0]).end
        if merged and first <= merged[-1].end:
            merged[-1] = Span(merged[-1].start, max(merged[-1].end, last))
        else:
            merged.append(Span(first, last))
    return tuple(merged)


def piece_at(pieces: tuple[Span, ...], span: Span) -> int | None:
    """Return which piece a span lies in."""
    place = bisect_right(pieces, span.start, key=lambda piece: piece.start) - 1
    return place if place >= 0 and span.end <= pieces[place].end else None


def content(document: Document, puzzle: PuzzleText, pieces: tuple[Span, ...]) -> Key:
    """Return all that the findings of a puzzle depend on."""
    parts = [puzzle.span, *puzzle.prose, *puzzle.headings, *(diagram.span for diagram in puzzle.diagrams)]
    shape = []
    for part in parts:
        place = piece_at(pieces, part)
        start = pieces[place].start if place is not None else 0
        shape.append((place, part.start - start, part.end - start))
    return (
        puzzle.title,
        puzzle.label,
        tuple(fault.message for fault in puzzle.twin_faults),
        len(puzzle.prose),
        len(puzzle.headings),
        tuple(shape),
        tuple((piece.of(document.text), piece.of(document.masked)) for piece in pieces),
        puzzle.asked,  # what stands in another file
        tuple(tuple(sorted((at, man.symbol()) for at, man in diagram.pieces.items())) for diagram in puzzle.diagrams),
    )
