"""Which of the positions that words may tell, or a board may show, is meant: the one of which the puzzle is sound."""

from keyproof.grammar.document import Diagram, PuzzleText
from keyproof.grammar.sections import Sections
from msgspec.structs import replace

from .case import Case
from .pricing import Make, Pricing


def settled(sections: Sections, make: Make) -> Sections:
    """Return the sections with each position told in words as it is sound, where what was told has two meanings.

    What has exactly one key is sound. Where none of the meanings is, or more than one, the plain one stays.
    """
    if not any(diagram.others for puzzle in sections.puzzles for diagram in puzzle.diagrams):
        return sections
    return replace(sections, puzzles=tuple(_settled(puzzle, make) for puzzle in sections.puzzles))


def _settled(puzzle: PuzzleText, make: Make) -> PuzzleText:
    return replace(puzzle, diagrams=tuple(_meant(puzzle, diagram, make) for diagram in puzzle.diagrams))


def _meant(puzzle: PuzzleText, diagram: Diagram, make: Make) -> Diagram:
    if not diagram.others or diagram.faults:
        return diagram
    ways = [replace(diagram, others=()), *(replace(diagram, pieces=men, others=()) for men in diagram.others)]
    cases = [make(replace(puzzle, diagrams=(way,))) for way in ways]
    good = [number for number, case in enumerate(cases) if sound(case)]
    if len(good) > 1 and not diagram.told:  # a board and its mirror image are sound alike
        pricing = Pricing(cases[0].masked, cases, make)
        good.sort(key=lambda number: sum(pricing.of(span, number)[0] for span in puzzle.prose))
    return ways[good[0] if good else 0]


def sound(case: Case) -> bool:
    """Tell whether a puzzle has exactly one key, in as many moves as it asks for or most likely asks for."""
    likely = case.likely if case.playable else None
    return likely is not None and len(likely[0].keys) == 1
