"""What a match of a regular expression may begin with, read from the structure of the expression.

Worked out when the tables of a grammar are built, so that a lexer need not try a terminal where it cannot match.
The parts of `re` that know the structure are private to it: tests/grammar/test_driver.py compares what is
found here with what the expressions match, and a newer Python that had others would fail there.
"""

import re
from collections.abc import Iterable
from functools import cache
from re import _compiler, _parser  # type: ignore[attr-defined] # the parts of `re` that know a pattern's structure
from re import _constants as parts
from typing import Any, NamedTuple

ASCII = [chr(code) for code in range(128)]


class Beginnings(NamedTuple):
    """What a match of a pattern may begin with, of the ASCII signs: some too many at most, none too few."""

    empty: bool  # whether it may be empty
    lone: frozenset[str]  # the signs that it may consist of
    pairs: dict[str, frozenset[str]]  # those that it may begin with, and what may come next

    def fits(self, signs: str) -> bool:
        """Tell whether a match may begin where these one or two signs stand."""
        first, after = signs[0], signs[1:]
        if self.empty or first in self.lone:
            return True
        return first in self.pairs and (not after or after in self.pairs[first])

    @property
    def firsts(self) -> frozenset[str]:
        """The signs that a match may begin with."""
        return self.lone.union(self.pairs)

    def then(self, after: "Beginnings") -> "Beginnings":
        """Return what this pattern and another one behind it may begin with."""
        pairs = dict.fromkeys(self.lone, after.firsts) if after.firsts else {}
        found = Beginnings(False, self.lone if after.empty else _NO_SIGNS, _united(self.pairs, pairs))
        return found.either(after) if self.empty else found

    def either(self, other: "Beginnings") -> "Beginnings":
        """Return what one or the other of two patterns may begin with."""
        return Beginnings(self.empty or other.empty, self.lone | other.lone, _united(self.pairs, other.pairs))


def _united(one: dict[str, frozenset[str]], other: dict[str, frozenset[str]]) -> dict[str, frozenset[str]]:
    return one | {sign: one.get(sign, _NO_SIGNS) | signs for sign, signs in other.items()}


_NO_SIGNS, _ALL_SIGNS = frozenset[str](), frozenset(ASCII)
_EMPTY = Beginnings(True, _NO_SIGNS, {})
_NEVER = Beginnings(False, _NO_SIGNS, {})
_ANYTHING = Beginnings(True, _ALL_SIGNS, dict.fromkeys(ASCII, _ALL_SIGNS))


def beginnings(pattern: str) -> Beginnings:
    """Return what a match of `pattern` may begin with."""
    tree = _parser.parse(pattern)
    return _beginnings(tree, tree.state.flags)


def _beginnings(pattern: Iterable[Any], flags: int) -> Beginnings:
    found = _EMPTY
    for kind, given in pattern:
        if kind is parts.ASSERT and given[0] > 0 and not found.empty:
            ahead = _beginnings(given[1], flags)
            if not ahead.empty:
                return found.then(ahead.either(Beginnings(False, _NO_SIGNS, dict.fromkeys(ahead.lone, _ALL_SIGNS))))
        if kind in (parts.ASSERT, parts.ASSERT_NOT, parts.AT):
            continue  # what else these look at is left out of account
        found = found.then(_of_part(kind, given, flags))
        if not found.empty and not found.lone:
            break  # two signs are known
    return found


def _of_part(kind: Any, given: Any, flags: int) -> Beginnings:
    if kind in (parts.LITERAL, parts.NOT_LITERAL, parts.IN, parts.ANY):
        signs = _signs(kind, tuple(given) if kind is parts.IN else given, flags & re.IGNORECASE | re.UNICODE)
        return Beginnings(False, signs, {})
    if kind is parts.BRANCH:
        found = _NEVER
        for way in given[1]:
            found = found.either(_beginnings(way, flags))
        return found
    if kind is parts.SUBPATTERN:
        return _beginnings(given[3], (flags | given[1]) & ~given[2])
    if kind in (parts.MAX_REPEAT, parts.MIN_REPEAT):
        least, most, inner = given
        once = _beginnings(inner, flags)
        found = once if most == 1 else once.then(once) if least > 1 else once.either(once.then(once))
        return found if least else found.either(_EMPTY)
    return _ANYTHING


@cache
def _signs(kind: Any, given: Any, flags: int) -> frozenset[str]:
    """Return the ASCII signs that one part of a pattern, which takes just one sign, takes."""
    state = _parser.State()
    state.flags = flags
    part = _parser.SubPattern(state, [(kind, list(given) if kind is parts.IN else given)])
    return frozenset(filter(_compiler.compile(part, flags).match, ASCII))
