"""What a run yields for each file, before it is printed."""

from dataclasses import dataclass
from typing import Literal

from keyproof.rules.finding import Finding

Verdict = Literal["sound", "unsound", "unproved", "no-claim"]


@dataclass(frozen=True)
class PuzzleResult:
    """One puzzle as it was read and proved.

    `fen` is None where no usable position was printed. `keys` are SAN with English letters.
    `move_mentions` counts the moves the text speaks of, `checked` those that were
    replayed (found true or reported); the rest is named in notes.
    """

    line: int
    title: str
    fen: str | None
    stipulation: str | None
    verdict: Verdict
    keys: tuple[str, ...]
    move_mentions: int
    checked: int


@dataclass(frozen=True)
class PlacedFinding:
    """A finding and the index of its puzzle in `FileResult.puzzles` (None: it belongs to the file)."""

    finding: Finding
    puzzle: int | None


@dataclass(frozen=True)
class FileResult:
    """All that a file yielded. With `error` set nothing else is."""

    path: str
    text: str = ""
    error: str | None = None
    error_line: int = 1
    error_column: int = 1
    puzzles: tuple[PuzzleResult, ...] = ()
    findings: tuple[PlacedFinding, ...] = ()
