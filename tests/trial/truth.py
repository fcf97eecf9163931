"""Texts by many imagined authors, and what is true of them.

`texts/` holds twenty-five sets: `scripts` was written to find faults with, with `first` to `eleventh` and `thirteenth`
to `twenty_first` the reading was once measured before anybody had seen them. `short` are 108 solutions of one mate
in two each, whose position is printed above them, and `short_unseen` are 108 more of the same writers: nobody who
mends the reading had looked at one of them before 30 November 2026; since then they are read and learnt from too.
`planted` and `planted_unseen` are 60 such solutions each by four more writers, with one error in four texts
of five. `planted_unseen` nobody who mends the reading has looked at, and nobody should: its scores, nothing else of
it, and fresh rounds read blind tell what a mend is worth. Of `twenty_first` only the findings were looked at.
Beside each text stands a file of the same name in JSON lines: its style and its boards; the errors planted in it;
what it says, line by line, with the answer. The answers were worked out by hand and by plain search with
python-chess, before any text was read by keyproof.
"""

import json
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

TEXTS = Path(__file__).parent / "texts"
SETS = (
    "scripts",
    "first",
    "second",
    "third",
    "fourth",
    "fifth",
    "sixth",
    "seventh",
    "eighth",
    "ninth",
    "tenth",
    "eleventh",
    "thirteenth",
    "fourteenth",
    "fifteenth",
    "sixteenth",
    "seventeenth",
    "eighteenth",
    "nineteenth",
    "twentieth",
    "twenty_first",
    "short",
    "short_unseen",
    "planted",
    "planted_unseen",
)
SAMPLED = 4  # the usual run takes every fourth text

_SIGNS = re.compile(r"[+#!?x=]")
_OF_THE_WHOLE = {
    "shorter mate",
    "illegal position",
    "no solution",
    "second key",
    "key does not work",
    "fen piece list mismatch",
    "castling no right",
    "castling king moved",
    "en passant impossible",
}
"""Errors of a whole puzzle, which may be reported anywhere in its text."""

Placed = tuple[tuple[str, ...], str]
"""The moves from the diagram to a position, and a move in it: SAN without signs, "--" for a pass."""


@dataclass(frozen=True)
class Error:
    """An error planted in a text: the number of its line and its kind."""

    line: int
    kind: str

    @property
    def wide(self) -> bool:
        """True for an error that may be reported anywhere."""
        return self.kind in _OF_THE_WHOLE


@dataclass(frozen=True)
class Claim:
    """Something that a text says in a line: of a board, how long its mate may take, what, and whether it is so."""

    line: int
    fen: str
    says: tuple[Any, ...]
    true: bool

    @property
    def places(self) -> list[Placed]:
        """The moves that the claim tells, each with the moves before it; none where it tells of no move."""
        kind, *told = self.says
        match kind:
            case "legal":
                return [_place(told[0])]
            case "mates" if len(told[0]) > 1:
                return [_place(told[0][:-1]), _place(told[0])]
            case "only_key" | "key" | "fails":
                return [_place(told[:1])]
            case "threat" | "only_threat":
                return [_place([told[0], "--", told[1]])]
            case "refutes":
                return [_place(told)]
            case "refutations_are":
                return [_place([told[0], reply]) for reply in told[1]]
        return []


@dataclass(frozen=True)
class Text:
    """A text with its truth."""

    path: Path
    errors: tuple[Error, ...]
    claims: tuple[Claim, ...]

    @property
    def told(self) -> list[Claim]:
        """The true claims that tell of moves, of lines that hold no error."""
        faulty = {error.line for error in self.errors}
        return [claim for claim in self.claims if claim.true and claim.places and claim.line not in faulty]


def bare(san: str) -> str:
    """Return a move without its signs."""
    return _SIGNS.sub("", san)


def _place(moves: list[str]) -> Placed:
    *before, last = map(bare, moves)
    return tuple(before), last


def paths(name: str, whole: bool) -> list[Path]:
    """Return the texts of a set: all of them, or those of the usual run."""
    found = sorted(path for path in (TEXTS / name).iterdir() if path.suffix != ".jsonl")
    return found if whole else found[::SAMPLED]


@cache
def text(path: Path) -> Text:
    """Read the truth about a text."""
    head, *rows = map(json.loads, path.with_suffix(".jsonl").read_text(encoding="utf-8").splitlines())
    return Text(
        path,
        tuple(Error(row["line"], row["error"]) for row in rows if "error" in row),
        tuple(
            Claim(row["line"], head["boards"][row["board"]], tuple(row["says"]), row["true"])
            for row in rows
            if "says" in row
        ),
    )
