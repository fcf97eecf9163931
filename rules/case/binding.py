"""Which text belongs to which diagram, decided by what can be played.

grammar/sections.py parts a file by its layout: a text stands below its position. Where that leaves solutions that
cannot be played, this module cuts the text into units and looks for the cheapest way to deal them out: a move that no
legal move agrees with costs, and so does leaving the diagram of the unit before, the nearer ones less, and a number or
title that names another. What fits no diagram stays without one. Text without any move goes with what is beside it.
"""

import re
from collections.abc import Iterable, Sequence

from keyproof.grammar.asking import with_orders
from keyproof.grammar.document import Document
from keyproof.grammar.scan import statements as scan
from keyproof.grammar.sections import Sections
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Claim
from keyproof.grammar.titles import number_first
from keyproof.grammar.traces import NUMBERED_MOVE, PRINTED_MOVE
from keyproof.grammar.words import SPOKEN_SQUARE
from msgspec.structs import replace

from ..reading.reading import Reading, State
from .apart import Apart, set_apart
from .case import Case
from .dealing import Dealing, naming, unbound
from .games import without_games
from .gleaned import gleaned
from .meant import settled
from .pricing import Make
from .units import around, cut, joined

_MOST_LOST = 6  # of so many moves of a loose text one may be unplayable
_BESIDE = 2  # puzzles above and below one of which the text is in question

_PLAY = re.compile(rf"{PRINTED_MOVE.pattern}|(?i:{SPOKEN_SQUARE.pattern})")


def bound(document: Document, sections: Sections, make: Make) -> Sections:
    """Return the parting of a document that can be played best: the one by layout, or another.

    `make` sets up a puzzle. Files of which the kind says what belongs together are left alone, but for positions
    that are only told in a talk.
    """
    document, sections = gleaned(document, sections, make)
    if document.puzzles is not None:
        return sections
    apart = set_apart(document, settled(without_games(document, sections), make), make)
    return apart.given_back(_dealt(document, apart, make))


def _dealt(document: Document, apart: Apart, make: Make) -> Sections:
    sections = apart.sections
    named = _names_others(document, sections)
    if not named and not _in_question(document.masked, sections):
        return with_orders(document, sections)
    cases = [make(puzzle) for puzzle in sections.puzzles]
    if (whole := _of_the_only_one(document, sections, cases, make)) is not None:
        return with_orders(document, whole)
    doubted = named | _doubted(cases, sections, document)
    if doubted:
        sections = Dealing(document, apart, cases, make, _with_neighbours(cases, doubted)).sections()
    return with_orders(document, sections)


def _names_others(document: Document, sections: Sections) -> set[int]:
    """Return the puzzles of texts that say that they speak of another one than the layout gives them to, and those."""
    shown = [index for index, puzzle in enumerate(sections.puzzles) if puzzle.diagrams and not puzzle.label]
    if len(shown) < 2:
        return set()
    shown.sort(key=lambda index: sections.puzzles[index].diagrams[0].span.start)
    owned = [(span, index) for index in shown for span in sections.puzzles[index].prose]
    loose = [(span, None) for span in unbound(document.masked, sections)]
    names = naming(document, sections, shown)
    texts = [
        (part, owner)
        for span, owner in sorted([*owned, *loose], key=lambda text: text[0])
        for unit in cut(document.masked, span)
        for part in names.parts(unit)
    ]
    headed: list[tuple[Span, int | None]] = [(span, index) for index in shown for span in _below(sections, index)]
    headed += [(span, None) for span in sections.headings]
    pairs = [(names.of_heading(span.of(document.masked)), owner) for span, owner in headed]
    others = {each for pair in pairs if pair[0] not in (None, pair[1]) for each in pair if each is not None}
    return names.elsewhere(texts) | others


def _below(sections: Sections, index: int) -> list[Span]:
    """Return the headings in the text of a puzzle that stand below its position."""
    puzzle = sections.puzzles[index]
    return [span for span in puzzle.headings if span.start > puzzle.diagrams[0].span.start]


def _in_question(masked: str, sections: Sections) -> bool:
    """Tell by a look at the text whether a position has no solution by it, or a solution no position."""
    if any(NUMBERED_MOVE.search(masked, *span) for span in unbound(masked, sections)):
        return any(puzzle.diagrams for puzzle in sections.puzzles)
    told = any(_PLAY.search(masked, *span) for span in unbound(masked, sections))
    return (told or len(sections.puzzles) > 1) and any(
        not any(_PLAY.search(masked, *span) for span in puzzle.prose)
        for puzzle in sections.puzzles
        if puzzle.diagrams and not puzzle.label
    )


def _doubted(cases: Sequence[Case], sections: Sections, document: Document) -> set[int]:
    """Return the puzzles of which the text cannot be played where the layout has put it, or that have none."""
    own = [index for index, case in enumerate(cases) if case.playable and not case.puzzle.label]
    loose = any(NUMBERED_MOVE.search(document.masked, *span) for span in unbound(document.masked, sections))
    readings = {index: reading for index in own if (reading := cases[index].reading) is not None}
    told = loose or any(_PLAY.search(document.masked, *span) for span in unbound(document.masked, sections))
    bare = {index for index, reading in readings.items() if not reading.mentions}
    doubted = {index for index in own if _strays(cases[index])}
    doubted |= {index for index, reading in readings.items() if _misfits(reading)}
    if bare:
        doubted |= {index for index, reading in readings.items() if _leaves(reading)}
    if told and bare:
        return doubted | bare
    if loose and len(own) == 1 and not _asks_for_itself(document.masked, unbound(document.masked, sections)):
        return set(own)  # what stands under a heading of its own may speak of the only position
    return doubted | bare if doubted and len(cases) > 1 else set()


def _of_the_only_one(document: Document, sections: Sections, cases: Sequence[Case], make: Make) -> Sections | None:
    """Return the parting in which the only position of a file has all its text, if what lay loose can be played there.

    A solution may go by the number of a puzzle that its position does not bear ("Solution to No. 83"), and its lines
    need its key and language to be read: they are tried together.
    """
    loose = unbound(document.masked, sections)
    if len(cases) != 1 or not cases[0].playable or not loose:
        return None
    puzzle = cases[0].puzzle
    texts = joined([*puzzle.prose, *loose], document.masked)
    headings = tuple(sorted([*puzzle.headings, *sections.headings]))
    span = around([diagram.span for diagram in puzzle.diagrams], [*texts, *headings], document.masked)
    whole = replace(puzzle, span=span, prose=texts, headings=headings)
    case = make(whole)
    reading = case.reading
    if reading is None or _strays(case):
        return None
    told = [
        mention.state
        for mention in reading.mentions
        if any(part.start <= mention.phrase.span.start < part.end for part in loose)
    ]
    played = told.count(State.read)
    fits = played > 1 and _MOST_LOST * (len(told) - played) <= len(told)
    return Sections((whole,), (), ()) if fits else None


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
