"""Text into the tokens of a grammar file, as lark cuts them, several times as fast.

lark tries the terminals one after the other at each place, and has more than eighty to try.
Here only those are tried that can begin with the two signs that stand there.
"""

import re
from collections.abc import Callable, Iterable
from functools import cache
from re import _compiler, _parser  # type: ignore[attr-defined] # the parts of `re` that know a pattern's structure
from re import _constants as parts
from typing import Any, NamedTuple

from lark import Lark
from lark.exceptions import LarkError

from .spans import Span

ASCII = [chr(code) for code in range(128)]

_Match = Callable[[str, int], re.Match[str] | None]
_Candidates = list[tuple[str, _Match]]


class Token:
    """One terminal in a text: its name, what is printed there, and where. lark's own is dear to make."""

    __slots__ = ("end", "start", "type", "value")

    def __init__(self, kind: str, value: str, start: int, end: int) -> None:
        self.type, self.value, self.start, self.end = kind, value, start, end

    @property
    def span(self) -> Span:
        """Where the token stands."""
        return Span(self.start, self.end)


class Lexer:
    """The terminals of a grammar, in the order in which lark tries them."""

    def __init__(self, parser: Lark) -> None:
        lexer: Any = parser.parser.lexer
        self._ignored: frozenset[str] = frozenset(lexer.ignore_types)
        patterns = [(each.name, _parser.parse(each.pattern.to_regexp())) for each in lexer.terminals]
        self._all: _Candidates = [(name, _compiler.compile(pattern).match) for name, pattern in patterns]
        self._begin = {name: _beginnings(pattern, pattern.state.flags) for name, pattern in patterns}
        self._of: dict[str, _Candidates] = {}  # filled as pairs of ASCII signs are met

    def tokens(self, text: str, offset: int = 0) -> list[Token]:
        """Return the tokens of `text`; their positions are counted from `offset` on. Raises LarkError."""
        found: list[Token] = []
        candidates, ignored = self._of, self._ignored
        place = 0
        while place < len(text):
            signs = text[place : place + 2]
            for name, match in candidates.get(signs) or self._beginning_with(signs):
                taken = match(text, place)
                if taken is not None:
                    end = taken.end()
                    if name not in ignored:
                        found.append(Token(name, taken[0], offset + place, offset + end))
                    place = end
                    break
            else:
                raise LarkError(f"no terminal fits {text[place]!r}")
        return found

    def matcher(self, terminal: str) -> _Match:
        """Return what matches the terminal of this name at a place of a text."""
        return dict(self._all)[terminal]

    def _beginning_with(self, signs: str) -> _Candidates:
        """Return the terminals that may match where `signs` stand, the next two of the text or its last one."""
        if not signs.isascii():
            return self._all
        fitting = self._all if len(signs) == 1 else self._of.get(signs[0]) or self._beginning_with(signs[0])
        self._of[signs] = found = [each for each in fitting if self._begin[each[0]].fits(signs)]
        return found


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
