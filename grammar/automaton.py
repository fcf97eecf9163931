"""The tables of a grammar file as plain values: its terminals, its rules, and what its parser does in each state."""

import contextlib
import re
from collections.abc import Callable
from typing import NamedTuple

from .compiled import MATCHER, Form, restored


class Terminal(NamedTuple):
    """A kind of token, as a regular expression, with what a match may begin with: of the ASCII signs, none too few."""

    name: str
    pattern: str
    empty: bool  # whether a match may be empty
    lone: str  # the signs that one may consist of
    pairs: dict[str, str]  # those that one may begin with, and what may come next
    form: Form  # compiled, by the matcher that the grammar names

    def matcher(self, made_by: str) -> Callable[[str, int], re.Match[str] | None]:
        """Return what matches at a place of a text. The form is taken where this Python made such."""
        if made_by == MATCHER:
            with contextlib.suppress(ValueError, RuntimeError):
                return restored(self.pattern, self.form).match
        return re.compile(self.pattern).match


class Rule(NamedTuple):
    """A way to put `length` parts together to one that stands for the symbol `origin`."""

    origin: str
    length: int
    name: str  # of the part in the tree
    kept: list[tuple[int, bool]]  # which of the parts stay, and whether the parts of these stay instead of them
    lone: bool  # whether a single part that stays takes the place of the whole


class Grammar(NamedTuple):
    """A grammar file. States and rules are numbers, places in `states` and `rules`.

    An action n of a state at a symbol: go to state n; where it is below 0, reduce by rule -1 - n.
    """

    terminals: list[Terminal]  # in the order in which they are tried
    ignored: list[str]
    asides: list[str]  # the terminals that begin no phrase
    rules: list[Rule]
    states: list[dict[str, int]]
    start: int
    end: int
    made_by: str  # the matcher whose compiled forms the terminals have
