"""Text into the tokens of a grammar file, as lark cuts them, several times as fast.

lark tries the terminals one after the other at each place, and has more than sixty to try.
Here only those are tried that can begin with the sign that stands there.
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


class Lexer:
    """The terminals of a grammar, in the order in which lark tries them."""

    def __init__(self, parser: Lark) -> None:
        lexer: Any = parser.parser.lexer
        self._ignored: frozenset[str] = frozenset(lexer.ignore_types)
        patterns = [(each.name, each.pattern.to_regexp()) for each in lexer.terminals]
        self._all: list[tuple[str, _Match]] = [(name, re.compile(pattern).match) for name, pattern in patterns]
        begins = [beginnings(pattern) for _, pattern in patterns]
        self._of = {
            sign: [each for each, signs in zip(self._all, begins, strict=True) if sign in signs] for sign in ASCII
        }

    def tokens(self, text: str, offset: int = 0) -> Iterator[Token]:
        """Yield the tokens of `text`; their positions are counted from `offset` on. Raises LarkError."""
        place = 0
        while place < len(text):
            for name, match in self._of.get(text[place], self._all):
                found = match(text, place)
                if found is not None:
                    if name not in self._ignored:
                        yield Token(name, found[0], offset + place, end_pos=offset + found.end())
                    place = found.end()
                    break
            else:
                raise LarkError(f"no terminal fits {text[place]!r}")


def beginnings(pattern: str) -> set[str]:
    """Return the ASCII signs that a match of `pattern` may begin with: some too many at most, none too few."""
    tree = _parser.parse(pattern)
    found, empty = _first(tree, tree.state.flags)
    return set(ASCII) if empty else found


def _first(pattern: Iterable[Any], flags: int) -> tuple[set[str], bool]:
    """Return the signs that a pattern may begin with, and whether they may match nothing."""
    found: set[str] = set()
    for kind, given in pattern:
        if kind in (parts.ASSERT, parts.ASSERT_NOT, parts.AT):
            continue  # what these look at is left out of account
        if kind in (parts.LITERAL, parts.NOT_LITERAL, parts.IN, parts.ANY):
            return found | _signs(
                kind, tuple(given) if kind is parts.IN else given, flags & re.IGNORECASE | re.UNICODE
            ), False
        if kind is parts.BRANCH:
            ways = [_first(way, flags) for way in given[1]]
        elif kind is parts.SUBPATTERN:
            ways = [_first(given[3], (flags | given[1]) & ~given[2])]
        elif kind in (parts.MAX_REPEAT, parts.MIN_REPEAT):
            ways = [_first(given[2], flags), (set(), not given[0])]
        else:
            return set(ASCII), True
        found.update(*(signs for signs, _ in ways))
        if not any(empty for _, empty in ways):
            return found, False
    return found, True


@cache
def _signs(kind: Any, given: Any, flags: int) -> frozenset[str]:
    """Return the ASCII signs that one part of a pattern, which takes just one sign, takes."""
    state = _parser.State()
    state.flags = flags
    part = _parser.SubPattern(state, [(kind, list(given) if kind is parts.IN else given)])
    return frozenset(filter(_compiler.compile(part, flags).match, ASCII))
