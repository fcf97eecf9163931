"""What says by its place on the page of which puzzle it speaks: cells of tables, the columns that positions stand in.

Text is dealt out line by line, so what speaks of several puzzles on one line is set apart beforehand.
"""

from bisect import bisect_left
from collections.abc import Mapping, Sequence

from keyproof.grammar.document import Document, PuzzleText
from keyproof.grammar.sections import Sections
from keyproof.grammar.spans import Span
from msgspec import Struct
from msgspec.structs import replace

from .naming import Naming
from .pricing import Make, Pricing
from .remarks import dealt_by_play
from .side_tables import Tables, inked


class Apart(Struct, frozen=True):
    """What the page says of each puzzle, by where its position stands, and the sections without it.

    `tables` are those that speak of several.
    """

    own: Mapping[Span, tuple[Span, ...]]
    sections: Sections
    tables: tuple[Span, ...] = ()

    def given_back(self, sections: Sections) -> Sections:
        """Return sections with what was set apart among the prose of its puzzles."""
        if not self.own:
            return sections
        return replace(sections, puzzles=tuple(map(self._with_own, sections.puzzles)))

    def _with_own(self, puzzle: PuzzleText) -> PuzzleText:
        own = [span for diagram in puzzle.diagrams for span in self.own.get(diagram.span, ())]
        return replace(puzzle, prose=tuple(sorted({*puzzle.prose, *own}))) if own else puzzle


def set_apart(document: Document, sections: Sections, make: Make) -> Apart:
    """Take out of the prose of a file what its place gives to one of several puzzles."""
    shown = [index for index, puzzle in enumerate(sections.puzzles) if puzzle.diagrams and not puzzle.label]
    if len(shown) < 2:
        return Apart({}, sections)
    shown.sort(key=lambda index: sections.puzzles[index].diagrams[0].span.start)
    own = {each.diagram.span: list(each.own) for each in document.beside if each.own}
    gone = [span for spans in own.values() for span in spans]
    tables: list[Span] = []
    for index, span in _of_tables(document, sections, shown, make, tables):
        own.setdefault(sections.puzzles[index].diagrams[0].span, []).append(span)
    gone += tables
    if not gone:
        return Apart({}, sections)
    gone.sort()

    def less(spans: Sequence[Span]) -> tuple[Span, ...]:
        return _less(spans, gone, document.masked)

    puzzles = tuple(replace(each, prose=less(each.prose), headings=less(each.headings)) for each in sections.puzzles)
    rest = Sections(puzzles, less(sections.loose), less(sections.headings))
    return Apart({place: tuple(spans) for place, spans in own.items()}, rest, tuple(tables))


def _of_tables(
    document: Document, sections: Sections, shown: Sequence[int], make: Make, taken: list[Span]
) -> list[tuple[int, Span]]:
    """Return what tables say of puzzles; add what they take of the text to `taken`."""
    tables = Tables(document, sections, shown)
    if not tables.found:
        return []
    cases = [make(puzzle) for puzzle in sections.puzzles]
    playable = [index for index in shown if cases[index].playable]
    names = Naming(document, [(index, sections.puzzles[index]) for index in shown])
    pricing = Pricing(document.masked, cases, make)
    found: list[tuple[int, Span]] = []
    for table in tables.found:
        sorted_out = tables.sorted_out(table, playable, names, pricing)
        if sorted_out is not None:
            found += sorted_out.cells
            for remark, said in sorted_out.remarks:
                found += dealt_by_play(document.masked, remark, said, names, pricing, playable)
            taken.append(tables.whole(table))
    return found


def _less(spans: Sequence[Span], gone: Sequence[Span], masked: str) -> tuple[Span, ...]:
    """Return stretches of text without those that are gone, which stand in order."""
    starts = [each.start for each in gone]
    found: list[Span] = []
    for span in spans:
        place = span.start
        for each in gone[max(0, bisect_left(starts, span.start) - 1) :]:
            if each.start >= span.end:
                break
            if each.end > place:
                found.append(Span(place, max(place, each.start)))
                place = max(place, each.end)
        found.append(Span(min(place, span.end), span.end))
    return tuple(kept for each in found if (kept := inked(masked, each)) is not None)
