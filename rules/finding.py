"""What a rule reports, and the register of rules."""

import importlib
import pkgutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import IntEnum
from functools import cache
from typing import TYPE_CHECKING, Literal

from keyproof.grammar.spans import Span

if TYPE_CHECKING:
    from .case import Case


class Level(IntEnum):
    """How grave a finding is: a false claim, a true but misleading one, or a matter of style or of text not checked."""

    note = 1
    warning = 2
    error = 3


@dataclass(frozen=True)
class Evidence:
    """Moves that prove a finding, in SAN with the English letters of the PGN standard, from the position `fen`.

    `kind` "line": one line of play, each move legal after the one before ("--" is a pass).
    `kind` "moves": several moves, each legal in `fen`. `shift` is 1 where the first move is
    numbered "1...", 0 where it is "1." (in help play Black begins with "1."); None: as `fen` has it.
    """

    fen: str
    moves: tuple[str, ...]
    kind: Literal["line", "moves"] = "line"
    shift: int | None = None


@dataclass(frozen=True)
class Edit:
    """Replace the text of `span` by `text`."""

    span: Span
    text: str


@dataclass(frozen=True)
class Finding:
    """One thing that is false, missing or unproved, with the place and the proof."""

    rule: str
    level: Level
    span: Span
    message: str
    evidence: Evidence | None = None
    repair: tuple[Edit, ...] = ()


@dataclass(frozen=True)
class Fault:
    """What a rule yields; `level` only where it differs from the rule's usual one."""

    span: Span
    message: str
    evidence: Evidence | None = None
    repair: tuple[Edit, ...] = ()
    level: Level | None = None


Check = Callable[["Case"], Iterator[Fault]]


@dataclass(frozen=True)
class Rule:
    """A registered rule: its name (the fault it finds), its usual level and the generator that looks for it.

    `closing` rules run after all others and see what those found.
    """

    name: str
    level: Level
    check: Check
    closing: bool = False

    @property
    def page(self) -> str:
        """Return the user documentation: the check's docstring."""
        return self.check.__doc__ or ""

    def findings(self, case: "Case") -> Iterator[Finding]:
        """Run the rule on one puzzle."""
        for fault in self.check(case):
            level = self.level if fault.level is None else fault.level
            yield Finding(self.name, level, fault.span, fault.message, fault.evidence, fault.repair)


RULES: dict[str, Rule] = {}


def rule(name: str, level: Level, *, closing: bool = False) -> Callable[[Check], Check]:
    """Register a generator of faults under `name`, a plain hyphenated term for the fault."""

    def register(check: Check) -> Check:
        if name in RULES:
            raise ValueError(f"two rules are named {name!r}")
        RULES[name] = Rule(name, level, check, closing)
        return check

    return register


@cache
def load_rules() -> dict[str, Rule]:
    """Import every module of `keyproof.rules.checks` and return the rules by name, in alphabetical order."""
    from . import checks

    for module in pkgutil.iter_modules(checks.__path__, checks.__name__ + "."):
        importlib.import_module(module.name)
    return dict(sorted(RULES.items()))
