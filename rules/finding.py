"""What a rule reports."""

from enum import IntEnum
from typing import Literal

from keyproof.grammar.spans import Span
from msgspec import Struct


class Level(IntEnum):
    """How grave a finding is: a false claim, a true but misleading one, or a matter of style or of text not checked."""

    note = 1
    warning = 2
    error = 3


class Evidence(Struct, frozen=True):
    """Moves that prove a finding, in SAN with the English letters of the PGN standard, from the position `fen`.

    `kind` "line": one line of play, each move legal after the one before ("--" is a pass).
    `kind` "moves": several moves, each legal in `fen`. `shift` is 1 where the first move is
    numbered "1...", 0 where it is "1." (in help play Black begins with "1."); None: as `fen` has it.
    """

    fen: str
    moves: tuple[str, ...]
    kind: Literal["line", "moves"] = "line"
    shift: int | None = None


class Edit(Struct, frozen=True):
    """Replace the text of `span` by `text`."""

    span: Span
    text: str


class Finding(Struct, frozen=True):
    """One thing that is false, missing or unproved, with the place and the proof."""

    rule: str
    level: Level
    span: Span
    message: str
    evidence: Evidence | None = None
    repair: tuple[Edit, ...] = ()


class Fault(Struct, frozen=True):
    """What a rule yields; `level` only where it differs from the rule's usual one."""

    span: Span
    message: str
    evidence: Evidence | None = None
    repair: tuple[Edit, ...] = ()
    level: Level | None = None
