"""The units of a text dealt out to the puzzles of a file, in the way that costs least."""

from bisect import bisect_left
from collections.abc import Iterable, Sequence

from keyproof.grammar.document import Document, PuzzleText
from keyproof.grammar.orders import asks_of_several
from keyproof.grammar.sections import Sections, is_part
from keyproof.grammar.spans import Span
from keyproof.grammar.titles import number_first, printed_number
from msgspec.structs import replace

from .apart import Apart
from .case import Case
from .cheapest import cheapest, cost_of_layout
from .games import game_scores
from .naming import Naming
from .pricing import NOT_READ, Make, Pricing
from .remarks import clauses
from .units import Unit, around, asks, cut, joined, on_the_line_of, told_alone

# What a way to deal out the text costs, besides its prices. Small numbers, weighed against each other.
NO_DIAGRAM = 20  # a text with moves left without a diagram: two moves must fail before that is the likelier
OTHER_NAME = 32  # the number or title over the text names another puzzle
LED = 20  # a sentence begins with the name of another puzzle
MENTIONED = 8  # the text names another puzzle on its way
UNPLAYED = 8  # what costs so much on every position may speak of several
FARTHER = 4  # a diagram that is not the next one above or below
NOT_BY_LAYOUT = 4  # the layout gives the text to another
GAIN = 3  # how much cheaper another way must be than the layout's

NEAR = 6  # diagrams above and below that a text is tried on
_CLOSE = 8  # so little dearer than the best a diagram may be for one unit, to be tried for the next as well
_MOST_COST = 120  # of one unit: a long solution elsewhere is no worse than that


def naming(document: Document, sections: Sections, order: Sequence[int]) -> Naming:
    """Return the names of puzzles, given in the order in which their positions stand."""
    return Naming(document, [(index, sections.puzzles[index]) for index in order])


def unbound(masked: str, sections: Sections) -> list[Span]:
    """Return the prose that the layout puts on no diagram."""
    lost = (span for puzzle in sections.puzzles if not puzzle.diagrams for span in puzzle.prose)
    return sorted(span for span in (*sections.loose, *lost) if next(game_scores(masked, span), None) is None)


class Dealing:
    """Deals out the text of a file. Of puzzles that are not among the `doubted` ones the text stays there."""

    def __init__(self, document: Document, apart: Apart, cases: Sequence[Case], make: Make, doubted: set[int]) -> None:
        sections = apart.sections
        self.document = document
        self.masked = document.masked
        self.layout = sections
        self.cases = cases
        self.doubted = doubted
        self.open = [
            index
            for index, case in enumerate(cases)
            if not case.puzzle.label and case.puzzle.diagrams and case.playable
        ]
        self.places = {index: cases[index].puzzle.diagrams[0].span.start for index in self.open}
        self.places_of = {
            diagram.span.start: index for index in self.open for diagram in self.cases[index].puzzle.diagrams
        }
        self.open.sort(key=lambda index: self.places[index])
        self.ends = sorted(d.span.end for index in self.open for d in cases[index].puzzle.diagrams)
        self.names = naming(document, sections, self.open)
        self.shared: list[Span] = []  # orders for several positions
        self.pricing = Pricing(document.masked, cases, make)
        self.units = self._units(apart.tables)

    # -- the units

    def _units(self, tables: Sequence[Span]) -> list[Unit]:
        owned = [(span, index) for index in self.open for span in self.cases[index].puzzle.prose]
        loose = [(span, None) for span in unbound(self.masked, self.layout)]
        found = []
        for span, owner in sorted([*owned, *loose]):
            for part in cut(self.masked, span):
                if asks_of_several(part.of(self.masked)):
                    self.shared.append(part)
                else:
                    found += self._parted(part, owner)
        of_puzzles = sorted(span for puzzle in self.layout.puzzles for span in puzzle.headings)
        headings = [*of_puzzles, *self.layout.headings]
        marks = sorted(
            [(span.start, "heading", span) for span in headings]
            + [(d.span.start, "diagram", d.span) for index in self.open for d in self.cases[index].puzzle.diagrams]
            + [(span.start, "table", span) for span in tables]
        )
        name: int | None = None
        passed = iter(marks)
        mark = next(passed, None)
        block_starts = {block.span.start for block in self.document.blocks}
        for unit in found:
            unit.before = "block" if unit.span.start in block_starts else "line"
            shown: int | None = None
            while mark is not None and mark[0] < unit.span.start:
                unit.before = mark[1]
                beside = mark[1] == "diagram" and on_the_line_of(self.masked, mark[2].end, unit.span)
                shown = self.places_of.get(mark[2].start) if beside else None
                if mark[1] == "table":
                    name = None
                elif mark[1] == "heading":
                    name = self.names.of_heading(mark[2].of(self.masked))
                mark = next(passed, None)
            own = self.names.of_text(unit.span, None if headings else name)
            number = self._only_number(unit.span)
            if own is not None:
                name, unit.before = own, "heading"
            elif number is not None:
                name, unit.before = self._next_diagram(unit), "heading"
                if name is not None:
                    self.names.by_name[number] = name
            elif unit.before == "diagram" and not headings:
                name = None
            unit.name = name if shown is None else shown  # a row of a table speaks of the position in it
            if own is None and unit.mentioned is not None:
                unit.name, unit.before = None, "mention"
            elif own is None and unit.after_mention:
                unit.before = "clause"
        return told_alone(found)

    def _parted(self, span: Span, owner: int | None) -> list[Unit]:
        """Return a stretch whole, or where its lines or sentences name other puzzles than its own, by these."""
        parts = list(self.names.parts(span))
        if len(parts) < 2 and not any(part.named not in (None, owner) for part in parts):
            return [Unit(span, owner)]
        units: list[Unit] = []
        led: int | None = None  # the puzzle with whose name a sentence before has begun
        for part, before in zip(parts, [None, *parts], strict=False):
            led = part.named if part.opens else None if part.named is not None else led
            behind = before is not None and before.named is not None
            named = part.named if part.named is not None else led
            units.append(Unit(part.span, owner, opens=part.opens, mentioned=named, after_mention=behind))
        return units

    def _only_number(self, span: Span) -> int | None:
        """Return the number of a line that is only a label, and that the layout has not taken for one."""
        label = number_first(self.masked, *span)
        if label is None or self.masked[label.end() : span.end].strip(" .:,–—-*_"):
            return None
        return int(label[1]) if any(map(str.isalpha, label[0])) else None

    def _next_diagram(self, unit: Unit) -> int | None:
        """Return the puzzle of the position that stands right below a unit, which has no number of its own there."""
        below = next(iter(self.open[self._above(unit) :]), None)
        return below if below is not None and below not in self._numbered(unit) else None

    def _numbered(self, unit: Unit) -> set[int]:
        """Return the puzzles with a number that stands below a unit."""
        return {
            index
            for index in self.open
            for heading in self.cases[index].puzzle.headings
            if unit.span.end <= heading.start < self.places[index] and printed_number(heading.of(self.masked))
        }

    # -- what they cost

    def _above(self, unit: Unit) -> int:
        """Count the diagrams above a unit."""
        return bisect_left(self.open, unit.span.start, key=lambda index: self.places[index])

    def _price(self, unit: Unit, likely: Iterable[int | None]) -> None:
        """Work out what a unit costs on the diagrams beside it and on `likely` ones, on more where it fits none."""
        if unit.owner is not None and (unit.owner not in self.doubted or (unit.alone and asks(unit, self.masked))):
            unit.costs[unit.owner] = 0
            return
        above = self._above(unit)
        beside = self.open[max(0, above - 1) : above + 1]
        first = dict.fromkeys(each for each in (*beside, unit.owner, unit.name, *likely) if each in self.places)
        for index in first:
            self._try(unit, index, near=index in beside)
        if all(unit.costs.values()):
            for index in self.open[max(0, above - NEAR) : above + NEAR]:
                if index not in first:
                    self._try(unit, index, near=False)
        alone = unit.owner is None and len(self.open) == 1  # what no layout gives to the only position must fit it
        unit.costs[None] = NO_DIAGRAM if unit.plays and not alone else NOT_READ

    def _try(self, unit: Unit, index: int, *, near: bool) -> None:
        cost, plays = self.pricing.of(unit.span, index)
        unit.plays |= plays
        cost += OTHER_NAME * (unit.name is not None and unit.name != index)
        named_on_its_way = LED if unit.opens else MENTIONED
        cost += named_on_its_way * (unit.mentioned is not None and unit.mentioned != index)
        unit.costs[index] = min(cost, _MOST_COST)
        if index != unit.mentioned:
            unit.entry[index] = FARTHER * (not near) + NOT_BY_LAYOUT * (index != unit.owner)

    def sections(self) -> Sections:
        """Return the sections of the cheapest way, those of the layout where it is not clearly dearer."""
        units: list[Unit] = []
        likely: list[int | None] = []
        for unit in self.units:
            self._price(unit, likely)
            units += self._finer(unit)
            likely = [
                index for index, cost in units[-1].costs.items() if cost <= min(units[-1].costs.values()) + _CLOSE
            ]
        self.units = units
        owners, cost = cheapest(self.units)
        if cost + GAIN > cost_of_layout(self.units):
            return self.layout
        return self._rebuilt(owners)

    def _finer(self, unit: Unit) -> list[Unit]:
        """Return a unit, or its clauses where it can be played on no position and these can on several."""
        least = min((cost for index, cost in unit.costs.items() if index is not None), default=0)
        if len(self.open) < 2 or not unit.plays or least < UNPLAYED:
            return [unit]
        parts = [
            Unit(span, unit.owner, before="clause" if place else unit.before)
            for place, span in enumerate(clauses(self.masked, unit.span, lists=False))
        ]
        likely: list[int | None] = [index for index in unit.costs if index is not None]
        for place, part in enumerate(parts):
            part.name = self.names.of_text(part.span, None) if place else unit.name
            self._price(part, likely)
        return parts if len(parts) > 1 and cheapest(parts)[1] + GAIN <= least else [unit]

    def _rebuilt(self, owners: Sequence[int | None]) -> Sections:
        prose: dict[int, list[Span]] = {index: [] for index in self.open}
        lost: list[list[Unit]] = []
        loose = [*self.shared, *(span for span in self.layout.loose if next(game_scores(self.masked, span), None))]
        goes_on = False  # whether the unit before was of a solution without a diagram
        for unit, owner in zip(self.units, owners, strict=True):
            if owner is not None:
                prose[owner].append(unit.span)
                goes_on = False
            elif goes_on and unit.before != "heading":
                lost[-1].append(unit)
            elif unit.plays:
                lost.append([unit])
                goes_on = True
            else:
                loose.append(unit.span)
        headings = self._headings(owners)
        puzzles = []
        for index, puzzle in enumerate(self.layout.puzzles):
            if index not in prose:
                puzzles += [puzzle] if puzzle.diagrams else []
                continue
            own = headings.get(index, [])
            span = around([diagram.span for diagram in puzzle.diagrams], [*prose[index], *own], self.masked)
            texts = joined(prose[index], self.masked)
            puzzles.append(replace(puzzle, title=self._title(puzzle, own), span=span, prose=texts, headings=tuple(own)))
        free = headings.get(None, [])
        for units in lost:
            over = [span for span in free if units[0].above == span]
            free = [span for span in free if span not in over]
            spans = [*over, *(unit.span for unit in units)]
            title = " ".join(over[0].of(self.masked).split()) if over else ""
            whole = Span(spans[0].start, spans[-1].end)
            puzzles.append(PuzzleText(title, whole, (), joined(spans[len(over) :], self.masked), tuple(over)))
        puzzles.sort(key=lambda puzzle: puzzle.span)
        return Sections(tuple(puzzles), tuple(sorted(loose)), tuple(free))

    def _title(self, puzzle: PuzzleText, headings: Sequence[Span]) -> str:
        """Return the title of a puzzle: as the layout has it, unless that heading now belongs to another."""
        words = [" ".join(span.of(self.masked).split()) for span in headings]
        printed = [" ".join(span.of(self.masked).split()) for span in puzzle.headings]
        if puzzle.title in words or (puzzle.title and (not words or puzzle.title not in printed)):
            return puzzle.title
        return next((each for each in words if not is_part(each)), "")

    def _headings(self, owners: Sequence[int | None]) -> dict[int | None, list[Span]]:
        """Deal out the headings: each goes with the text below it, or stays where a position follows at once."""
        found: dict[int | None, list[Span]] = {}
        by_layout = [
            (span, index if index in self.places else None)
            for index, puzzle in enumerate(self.layout.puzzles)
            if index in self.places or not puzzle.diagrams
            for span in puzzle.headings
        ] + [(span, None) for span in self.layout.headings]
        starts = [unit.span.start for unit in self.units]
        by_layout.sort(key=lambda item: item[0])
        ends = [*(span.start for span, _ in by_layout[1:]), len(self.masked)][: len(by_layout)]
        for (span, owner), after in zip(by_layout, ends, strict=True):
            below = bisect_left(starts, span.end)
            target = owner
            if asks_of_several(span.of(self.masked)):
                target = None
            elif below < len(starts) and starts[below] < after:
                target = owners[below]
                self.units[below].above = span
            found.setdefault(target, []).append(span)
        return found
