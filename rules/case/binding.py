"""Which text belongs to which diagram, decided by what can be played.

grammar/sections.py parts a file by its layout: a text stands below its position. Where that leaves solutions that
cannot be played, this module cuts the text into units and looks for the cheapest way to deal them out: a move that no
legal move agrees with costs, and so does leaving the diagram of the unit before, the nearer ones less, and a number or
title that names another. What fits no diagram stays without one. Text without any move goes with what is beside it.
"""

import re
from bisect import bisect_left
from collections.abc import Iterable, Sequence

from keyproof.grammar.asking import with_orders
from keyproof.grammar.document import Document, PuzzleText
from keyproof.grammar.orders import asks_of_several
from keyproof.grammar.scan import statements as scan
from keyproof.grammar.sections import Sections, is_part
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Claim
from keyproof.grammar.titles import number_first, printed_number
from keyproof.grammar.traces import NUMBERED_MOVE, PRINTED_MOVE
from keyproof.grammar.words import SPOKEN_SQUARE
from msgspec.structs import replace

from ..reading.reading import Reading, State
from .apart import Apart, set_apart
from .case import Case
from .games import game_scores, without_games
from .gleaned import gleaned
from .naming import Naming
from .pricing import NOT_READ, Make, Pricing
from .told import settled
from .units import Unit, around, asks, cut, joined, on_the_line_of, told_alone

# What a way to deal out the text costs, besides its prices. Small numbers, weighed against each other.
NO_DIAGRAM = 20  # a text with moves left without a diagram: two moves must fail before that is the likelier
OTHER_NAME = 32  # the number or title over the text names another puzzle
MENTIONED = 8  # the text names another puzzle on its way
SWITCH = {
    "line": 16,
    "mention": 2,
    "block": 8,
    "heading": 0,
    "diagram": 0,
    "table": 4,
    "divider": 0,
}  # of the diagram, by what stands between
FARTHER = 4  # a diagram that is not the next one above or below
NOT_BY_LAYOUT = 4  # the layout gives the text to another
GAIN = 3  # how much cheaper another way must be than the layout's

_BESIDE = 2  # puzzles above and below one of which the text is in question
NEAR = 6  # diagrams above and below that a text is tried on
_WEIGHT = 1000  # of a cost, against the number of texts that leave the layout's diagram: of equals the layout's
_CLOSE = 8  # so little dearer than the best a diagram may be for one unit, to be tried for the next as well
_MOST_COST = 120  # of one unit: a long solution elsewhere is no worse than that

_PLAY = re.compile(rf"{PRINTED_MOVE.pattern}|(?i:{SPOKEN_SQUARE.pattern})")


def bound(document: Document, sections: Sections, make: Make) -> Sections:
    """Return the parting of a document that can be played best: the one by layout, or another.

    `make` sets up a puzzle. Files of which the kind says what belongs together are left alone.
    """
    if document.puzzles is not None:
        return sections
    document, sections = gleaned(document, sections, make)
    apart = set_apart(document, settled(without_games(document, sections), make), make)
    return apart.given_back(_dealt(document, apart, make))


def _dealt(document: Document, apart: Apart, make: Make) -> Sections:
    sections = apart.sections
    named = _names_others(document, sections)
    if not named and not _in_question(document.masked, sections):
        return with_orders(document, sections)
    cases = [make(puzzle) for puzzle in sections.puzzles]
    doubted = named | _doubted(cases, sections, document)
    if doubted:
        sections = _Dealing(document, apart, cases, make, _with_neighbours(cases, doubted)).sections()
    return with_orders(document, sections)


def _naming(document: Document, sections: Sections, order: Sequence[int]) -> Naming:
    return Naming(document, [(index, sections.puzzles[index]) for index in order])


def _names_others(document: Document, sections: Sections) -> set[int]:
    """Return the puzzles of texts that say that they speak of another one than the layout gives them to, and those."""
    shown = [index for index, puzzle in enumerate(sections.puzzles) if puzzle.diagrams and not puzzle.label]
    if len(shown) < 2:
        return set()
    shown.sort(key=lambda index: sections.puzzles[index].diagrams[0].span.start)
    owned = [(span, index) for index in shown for span in sections.puzzles[index].prose]
    loose = [(span, None) for span in _unbound(document.masked, sections)]
    names = _naming(document, sections, shown)
    texts = [
        (part, owner)
        for span, owner in sorted([*owned, *loose], key=lambda text: text[0])
        for unit in cut(document.masked, span)
        for part in names.parts(unit)
    ]
    return names.elsewhere(texts)


def _in_question(masked: str, sections: Sections) -> bool:
    """Tell by a look at the text whether a position has no solution by it, or a solution no position."""
    if any(NUMBERED_MOVE.search(masked, *span) for span in _unbound(masked, sections)):
        return any(puzzle.diagrams for puzzle in sections.puzzles)
    told = any(_PLAY.search(masked, *span) for span in _unbound(masked, sections))
    return (told or len(sections.puzzles) > 1) and any(
        not any(_PLAY.search(masked, *span) for span in puzzle.prose)
        for puzzle in sections.puzzles
        if puzzle.diagrams and not puzzle.label
    )


def _doubted(cases: Sequence[Case], sections: Sections, document: Document) -> set[int]:
    """Return the puzzles of which the text cannot be played where the layout has put it, or that have none."""
    own = [index for index, case in enumerate(cases) if case.playable and not case.puzzle.label]
    loose = any(NUMBERED_MOVE.search(document.masked, *span) for span in _unbound(document.masked, sections))
    readings = {index: reading for index in own if (reading := cases[index].reading) is not None}
    told = loose or any(_PLAY.search(document.masked, *span) for span in _unbound(document.masked, sections))
    bare = {index for index, reading in readings.items() if not reading.mentions}
    doubted = {index for index in own if _strays(cases[index])}
    doubted |= {index for index, reading in readings.items() if _misfits(reading)}
    if bare:
        doubted |= {index for index, reading in readings.items() if _leaves(reading)}
    if told and bare:
        return doubted | bare
    if loose and len(own) == 1 and not _asks_for_itself(document.masked, _unbound(document.masked, sections)):
        return set(own)  # what stands under a heading of its own may speak of the only position
    return doubted | bare if doubted and len(cases) > 1 else set()


def _with_neighbours(cases: Sequence[Case], doubted: Iterable[int]) -> set[int]:
    """Return puzzles with those whose positions stand beside theirs: what is a text of one may begin in the next."""
    shown = [index for index, case in enumerate(cases) if case.puzzle.diagrams]
    shown.sort(key=lambda index: cases[index].puzzle.diagrams[0].span.start)
    places = {index: place for place, index in enumerate(shown)}
    return {
        other for index in doubted for other in shown[max(0, places[index] - _BESIDE) : places[index] + _BESIDE + 1]
    }


def _asks_for_itself(masked: str, loose: Sequence[Span]) -> bool:
    """Tell whether text on no diagram has an order or a number of its own: its position may be missing."""
    asked = any(isinstance(each, Claim) and each.kind == "stipulation" for each in scan(masked, loose)[0])
    labels = (number_first(masked, *span) for span in loose)
    return asked or any(label is not None and any(map(str.isalpha, label[0])) for label in labels)


def _unbound(masked: str, sections: Sections) -> list[Span]:
    """Return the prose that the layout puts on no diagram."""
    lost = (span for puzzle in sections.puzzles if not puzzle.diagrams for span in puzzle.prose)
    return sorted(span for span in (*sections.loose, *lost) if next(game_scores(masked, span), None) is None)


def _misfits(reading: Reading) -> bool:
    """Tell whether so much of a text cannot be played that it may belong to another position."""
    states = [mention.state for mention in reading.mentions]
    return State.impossible in states and 3 * (len(states) - states.count(State.read)) >= len(states)


def _leaves(reading: Reading) -> bool:
    """Tell whether anything of a text cannot be played: it may be what another position has no solution for."""
    unplayed = any(mention.state is State.impossible for mention in reading.mentions)
    return unplayed or bool(reading.not_understood or reading.passed)


def _strays(case: Case) -> bool:
    """Tell whether the walk passes over so much of a text that it may belong to another position."""
    reading = case.reading
    told = 0 if reading is None else len(reading.mentions)
    if reading is None or (reading.mentions and not any(mention.phrase.worded for mention in reading.mentions)):
        return False  # what is printed is judged by whether it can be played
    return len(reading.passed) + len(reading.not_understood) > (told + len(reading.passed)) // 4


class _Dealing:
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
        self.names = _naming(document, sections, self.open)
        self.shared: list[Span] = []  # orders for several positions
        self.pricing = Pricing(document.masked, cases, make)
        self.units = self._units(apart.tables)

    # -- the units

    def _units(self, tables: Sequence[Span]) -> list[Unit]:
        owned = [(span, index) for index in self.open for span in self.cases[index].puzzle.prose]
        loose = [(span, None) for span in _unbound(self.masked, self.layout)]
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
            if own is None and unit.opens:
                own = unit.mentioned
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
        return told_alone(found)

    def _parted(self, span: Span, owner: int | None) -> list[Unit]:
        """Return a stretch whole, or where its lines or sentences name other puzzles than its own, by these."""
        parts = list(self.names.parts(span))
        if len(parts) < 2 and not any(part.named not in (None, owner) for part in parts):
            return [Unit(span, owner)]
        return [Unit(part.span, owner, opens=part.opens, mentioned=part.named) for part in parts]

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
        cost += MENTIONED * (unit.mentioned is not None and unit.mentioned != index)
        unit.costs[index] = min(cost, _MOST_COST)
        if index != unit.mentioned:
            unit.entry[index] = FARTHER * (not near) + NOT_BY_LAYOUT * (index != unit.owner)

    # -- the cheapest way

    def _owners(self) -> tuple[list[int | None], int]:
        """Return the puzzle of each unit in the cheapest way to deal them out, and what it costs."""
        trail: list[dict[int | None, int | None]] = []
        totals: dict[int | None, int] = {}
        for unit in self.units:
            step: dict[int | None, int] = {}
            back: dict[int | None, int | None] = {}
            cheapest = min(totals, key=lambda state: totals[state]) if totals else None
            for state, cost in unit.costs.items():
                entry = unit.entry.get(state, 0) + (SWITCH[unit.before] if totals else 0)
                entered = _WEIGHT * entry + (totals[cheapest] if totals else 0)
                stays = state in totals and totals[state] <= entered
                step[state] = _WEIGHT * cost + (state != unit.owner) + (totals[state] if stays else entered)
                back[state] = state if stays else cheapest
            totals = step
            trail.append(back)
        state = min(totals, key=lambda state: totals[state]) if totals else None
        total = totals[state] // _WEIGHT if totals else 0
        owners: list[int | None] = []
        for back in reversed(trail):
            owners.append(state)
            state = back[state]
        return owners[::-1], total

    def _cost_of_layout(self) -> int:
        total, last = 0, None
        for number, unit in enumerate(self.units):
            total += unit.costs[unit.owner]
            if number == 0 or last != unit.owner:
                total += unit.entry.get(unit.owner, 0) + (SWITCH[unit.before] if number else 0)
            last = unit.owner
        return total

    def sections(self) -> Sections:
        """Return the sections of the cheapest way, those of the layout where it is not clearly dearer."""
        likely: list[int | None] = []
        for unit in self.units:
            self._price(unit, likely)
            likely = [index for index, cost in unit.costs.items() if cost <= min(unit.costs.values()) + _CLOSE]
        owners, cost = self._owners()
        if cost + GAIN > self._cost_of_layout():
            return self.layout
        return self._rebuilt(owners)

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
