"""Which of the positions that words may tell, or a board may show, is meant: the one of which the puzzle is sound."""

from keyproof.grammar.document import Diagram, PuzzleText
from keyproof.grammar.sections import Sections
from msgspec.structs import replace

from .case import Case
from .pricing import Make, Pricing


def settled(sections: Sections, make: Make) -> Sections:
    """Return the sections with each position told in words as it is sound, where what was told has two meanings.

    What has exactly one key is sound. Where none of the meanings is, or more than one, the plain one stays. Of a
    position that is printed twice, the one that alone is sound comes first, or on which the text is easier to play,
    or the FEN: the other was printed wrongly.
    """
    if not any(len(puzzle.diagrams) > 1 or puzzle.diagrams[0].others for puzzle in sections.puzzles if puzzle.diagrams):
        return sections
    puzzles = tuple(_sound_first(_settled(puzzle, make), make) for puzzle in sections.puzzles)
    return replace(sections, puzzles=puzzles)


def _sound_first(puzzle: PuzzleText, make: Make) -> PuzzleText:
    shown = [diagram for diagram in puzzle.diagrams if not diagram.faults]
    if len(shown) < 2 or all(diagram.pieces == shown[0].pieces for diagram in shown):
        return puzzle
    cases = [make(replace(puzzle, diagrams=(diagram,))) for diagram in shown]
    good = [number for number, case in enumerate(cases) if sound(case)]
    if len(good) > 1:
        pricing = Pricing(cases[0].masked, cases, make)
        prices = [sum(pricing.of(span, number)[0] for span in puzzle.prose) for number in good]
        good = sorted(good, key=lambda number: (prices[good.index(number)], shown[number].kind != "fen"))
    first = shown[good[0]] if good else shown[0]
    return replace(puzzle, diagrams=(first, *(diagram for diagram in puzzle.diagrams if diagram is not first)))


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
