"""The register of rules: each is entered when its module is loaded."""

import importlib
import pkgutil
from collections.abc import Callable, Iterator
from functools import cache

from msgspec import Struct

from ..case.case import Case
from ..finding import Fault, Finding, Level

Check = Callable[[Case], Iterator[Fault]]


class Rule(Struct, frozen=True):
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

    def findings(self, case: Case) -> Iterator[Finding]:
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
    checks = importlib.import_module(__package__)
    for module in pkgutil.iter_modules(checks.__path__, checks.__name__ + "."):
        importlib.import_module(module.name)
    return dict(sorted(RULES.items()))
