"""The puzzles of one file as a whole: what the rules ask of all of them, worked out once and not for each puzzle."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from functools import cached_property
from itertools import pairwise
from typing import overload

import chess
from keyproof.grammar.titles import PER_VOLUME, printed_number
from msgspec import Struct

from .case import Case

Key = tuple[int, ...]


class Step(Struct, frozen=True):
    """From the `number` of a numbered puzzle to that of the next one, `case`."""

    case: Case
    before: int
    number: int


class Column(Sequence[Case]):
    """The puzzles of a file, in order. Equal to nothing but itself."""

    def __init__(self, cases: Sequence[Case]) -> None:
        self._cases = cases

    def __len__(self) -> int:
        """Return how many puzzles there are."""
        return len(self._cases)

    @overload
    def __getitem__(self, index: int) -> Case: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[Case]: ...
    def __getitem__(self, index: int | slice) -> Case | Sequence[Case]:
        """Return one puzzle, or several."""
        return self._cases[index]

    @cached_property
    def _places(self) -> dict[int, int]:
        return {id(case): place for place, case in enumerate(self._cases)}

    def place(self, case: Case) -> int | None:
        """Return the place of a puzzle, None where it is not of this file."""
        return self._places.get(id(case))

    @cached_property
    def _alike(self) -> dict[Key, list[Case]]:
        found = defaultdict(list)
        for case in self._cases:
            if case.board is not None:
                found[shape(case.board)].append(case)
        return found

    def alike(self, case: Case) -> Iterator[Case]:
        """Yield the puzzles before this one, not its twins, with its men or these turned, mirrored or recoloured."""
        if case.board is None:
            return
        for other in self._alike[shape(case.board)]:
            if other is case:
                return
            if not (case.puzzle.label and other.puzzle.label) or stem(case) != stem(other):
                yield other

    @cached_property
    def _twins(self) -> dict[str, list[Case]]:
        found = defaultdict(list)
        for case in self._cases:
            if case.puzzle.label:
                found[stem(case)].append(case)
        return found

    def twins(self, case: Case) -> list[Case]:
        """Return the other twins of a diagram."""
        return [other for other in self._twins[stem(case)] if other is not case]

    @cached_property
    def diagrams(self) -> list[Case]:
        """The puzzles, twins of one diagram once."""
        return [case for case in self._cases if not case.puzzle.label > "a"]

    @cached_property
    def _numbers(self) -> list[int | None]:
        return [printed_number(stem(case)) for case in self.diagrams]

    @cached_property
    def counts(self) -> Counter[int | None]:
        """How often each number stands over a puzzle."""
        return Counter(self._numbers)

    @cached_property
    def odd_step(self) -> Step | None:
        """The only step from one number to the next that is not by one; None where not all are numbered."""
        numbers = [number for number in self._numbers if number is not None]
        if len(numbers) < 3 or len(numbers) != len(self.diagrams):
            return None
        steps = zip(self.diagrams[1:], pairwise(numbers), strict=True)
        odd = [
            Step(case, before % PER_VOLUME, number % PER_VOLUME)
            for case, (before, number) in steps
            if number != before + 1 and number // PER_VOLUME == before // PER_VOLUME  # each volume begins anew
        ]
        return odd[0] if len(odd) == 1 else None


def column_of(case: Case) -> Column:
    """Return the file that a puzzle stands in."""
    return case.column if isinstance(case.column, Column) else Column(case.column)


def stem(case: Case) -> str:
    """Return the title of a puzzle without the letter of a twin."""
    return case.puzzle.title.removesuffix(f"{case.puzzle.label})")


def shape(board: chess.Board) -> Key:
    """Return the men of a board up to turning, mirroring and exchange of colours: boards with the same are alike."""
    kinds = (board.pawns, board.knights, board.bishops, board.rooks, board.queens, board.kings)
    sides = [[kind & board.occupied_co[colour] for kind in kinds] for colour in chess.COLORS]
    across = [[chess.flip_horizontal(men) for men in side] for side in sides]
    ways = [sides, across]
    ways += [[[chess.flip_vertical(men) for men in side] for side in way] for way in (sides, across)]
    return min(tuple(one + other) for first, second in ways for one, other in ((first, second), (second, first)))
