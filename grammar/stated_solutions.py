"""How many solutions a puzzle is said to have: "2 solutions", "2.1.1.1"."""

import re

from msgspec.structs import replace

from .document import PuzzleText
from .spans import Span
from .traces import NUMBERED_MOVE
from .words import NUMBERS

_STATED = re.compile(
    r"(?<![\w.])(?P<number>\d{1,2}|one|two|three|four|five|six|seven|eight)\s+solutions?\b(?!\s*(?:\d|to\b|of\b|from\b))"
    r"|(?<![\w.#=])(?P<dotted>[1-9]\d?(?:\.[1-9]\d?)+(?:\.{2,3}|…)?)(?![\w.]|\s?%)",
    re.I,
)
_MAY_STATE = re.compile(r"[\d\s](?:\.\d|solution)", re.I)  # what any such statement has, found sooner


def with_counts(masked: str, puzzle: PuzzleText) -> PuzzleText:
    """Take "2 solutions" and "2.1.1.1" out of what stands before the first move."""
    counts: list[Span] = []
    prose: list[Span] = []
    moves_seen = False
    for span in puzzle.prose:
        move = NUMBERED_MOVE.search(masked, span.start, span.end)
        end = span.start if moves_seen else move.start() if move else span.end
        moves_seen = moves_seen or move is not None
        cuts = _of(masked, span.start, end)
        counts += cuts
        prose += span.without(cuts)
    for heading in puzzle.headings:
        counts += _of(masked, *heading)
    return replace(puzzle, prose=tuple(prose), counts=tuple(counts)) if counts else puzzle


def _of(masked: str, start: int, end: int) -> list[Span]:
    if _MAY_STATE.search(masked, start, end) is None:
        return []
    return [Span(*each.span()) for each in _STATED.finditer(masked, start, end)]


def stated_number(text: str) -> int:
    """Return the number of solutions that "2 solutions" or "2.1.1.1" states."""
    match = _STATED.search(text)
    if match is None:
        raise ValueError(f"no number of solutions: {text!r}")
    if match["number"]:
        word = match["number"].lower()
        return int(word) if word.isdecimal() else NUMBERS[word]
    product = 1
    for part in re.findall(r"\d+", match["dotted"]):
        product *= int(part)
    return product
