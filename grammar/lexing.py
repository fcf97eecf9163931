"""Text into the tokens of a grammar file, as lark cuts them, several times as fast.

lark tries the terminals one after the other at each place, and has more than sixty to try.
Here only those are tried that can begin with the two signs that stand there.
"""

import re
from collections.abc import Callable, Iterable, Iterator
from functools import cache
from re import _compiler, _parser  # type: ignore[attr-defined] # the parts of `re` that know a pattern's structure
from re import _constants as parts
from typing import Any

from lark import Lark, Token
from lark.exceptions import LarkError

ASCII = [chr(code) for code in range(128)]

_Match = Callable[[str, int], re.Match[str] | None]
Beginnings = dict[str, set[str]]
"""The signs that a match may begin with, and for each the signs that may come next, "" where it may be the last."""


class Lexer:
    """The terminals of a grammar, in the order in which lark tries them."""

    def __init__(self, parser: Lark) -> None:
        lexer: Any = parser.parser.lexer
        self._ignored: frozenset[str] = frozenset(lexer.ignore_types)
        trees = [(each.name, _parser.parse(each.pattern.to_regexp())) for each in lexer.terminals]
        self._begins = [_beginnings(tree) for _, tree in trees]
        self._all: list[tuple[str, _Match]] = [(name, _compiler.compile(tree).match) for name, tree in trees]
        self._of: dict[str, list[tuple[str, _Match]]] = {}  # by two signs, as they are met

    def tokens(self, text: str, offset: int = 0) -> Iterator[Token]:
        """Yield the tokens of `text`; their positions are counted from `offset` on. Raises LarkError."""
        place = 0
        while place < len(text):
            start = text[place : place + 2]
            for name, match in self._of.get(start) or self._beginning_with(start):
                found = match(text, place)
                if found is not None:
                    end = found.end()
                    if name not in self._ignored:
                        yield token_of(name, found[0], offset + place, offset + end)
                    place = end
                    break
            else:
                raise LarkError(f"no terminal fits {text[place]!r}")

    def _beginning_with(self, start: str) -> list[tuple[str, _Match]]:
        """Return the terminals that may begin with these signs; those for two ASCII signs are remembered."""
        if not start[0].isascii():
            return self._all
        sign, after = start[0], start[1:]
        found = []
        for each, begins in zip(self._all, self._begins, strict=True):
            following = begins.get(sign)
            if following is not None and (not after.isascii() or "" in following or after in following):
                found.append(each)
        if start.isascii():
            self._of[start] = found
        return found


def token_of(kind: str, value: str, start: int, end: int) -> Token:
    """Return a token as lark makes it, less the line and column, which nobody asks for, in a third of the time."""
    token = str.__new__(Token, value)
    token.type, token.value, token.start_pos, token.end_pos = kind, value, start, end
    return token


def beginnings(pattern: str) -> Beginnings:
    """Return the ASCII signs that a match of `pattern` may begin with: some too many at most, none too few."""
    return _beginnings(_parser.parse(pattern))


def _beginnings(tree: Any) -> Beginnings:
    found, empty = _first(tree, tree.state.flags)
    return _anything() if empty else found


def _anything() -> Beginnings:
    return {sign: {""} for sign in ASCII}


def _first(pattern: Iterable[Any], flags: int) -> tuple[Beginnings, bool]:
    """Return the signs that a pattern may begin with, and whether it may match nothing."""
    found: Beginnings = {}
    empty = True  # may all parts so far match nothing?
    for kind, given in pattern:
        if kind in (parts.ASSERT, parts.ASSERT_NOT, parts.AT):
            continue  # what these look at is left out of account
        begins, skipped = _part(kind, given, flags)
        for following in found.values():
            if "" in following:
                following.update(begins)
                if not skipped:
                    following.discard("")
        if empty:
            for sign, following in begins.items():
                found.setdefault(sign, set()).update(following)
        empty = empty and skipped
        if not empty and not any("" in following for following in found.values()):
            break
    return found, empty


def _part(kind: Any, given: Any, flags: int) -> tuple[Beginnings, bool]:
    """Return the same of one part of a pattern."""
    if kind in (parts.LITERAL, parts.NOT_LITERAL, parts.IN, parts.ANY):
        given = tuple(given) if kind is parts.IN else given
        return {sign: {""} for sign in _signs(kind, given, flags & re.IGNORECASE | re.UNICODE)}, False
    if kind is parts.SUBPATTERN:
        return _first(given[3], (flags | given[1]) & ~given[2])
    if kind in (parts.MAX_REPEAT, parts.MIN_REPEAT):
        begins, empty = _first(given[2], flags)
        for following in begins.values():
            if "" in following and given[1] > 1:
                following.update(begins)
        return begins, empty or not given[0]
    if kind is not parts.BRANCH:
        return _anything(), True
    found: Beginnings = {}
    ways = [_first(way, flags) for way in given[1]]
    for begins, _ in ways:
        for sign, following in begins.items():
            found.setdefault(sign, set()).update(following)
    return found, any(empty for _, empty in ways)


@cache
def _signs(kind: Any, given: Any, flags: int) -> frozenset[str]:
    """Return the ASCII signs that one part of a pattern, which takes just one sign, takes."""
    state = _parser.State()
    state.flags = flags
    part = _parser.SubPattern(state, [(kind, list(given) if kind is parts.IN else given)])
    return frozenset(filter(_compiler.compile(part, flags).match, ASCII))
