"""Text into the tokens of a grammar file, as lark cuts them, several times as fast.

lark tries the terminals one after the other at each place, and has more than eighty to try.
Here only those are tried that can begin with the two signs that stand there.
"""

import re
from collections.abc import Callable

from msgspec import Struct

from .automaton import Grammar, Terminal
from .spans import Span, span_of
from .trees import NoPhrase

_Match = Callable[[str, int], re.Match[str] | None]
_Candidates = list[tuple[str, _Match]]


class Token(Struct, eq=False):
    """One terminal in a text: its name, what is printed there, and where. lark's own is dear to make."""

    type: str
    value: str
    start: int
    end: int

    @property
    def span(self) -> Span:
        """Where the token stands."""
        return span_of((self.start, self.end))


class Lexer:
    """The terminals of a grammar, in the order in which lark tries them."""

    def __init__(self, grammar: Grammar) -> None:
        self._ignored = frozenset(grammar.ignored)
        self._terminals, self._made_by = grammar.terminals, grammar.made_by
        self._made: dict[str, _Match] = {}  # compiled when first tried, since few texts need all
        self._of: dict[str, list[Terminal]] = {}
        self._candidates: dict[str, _Candidates] = {}  # filled as pairs of signs are met

    def tokens(self, text: str, offset: int = 0) -> list[Token]:
        """Return the tokens of `text`; their positions are counted from `offset` on. Raises NoPhrase."""
        found: list[Token] = []
        candidates, ignored = self._candidates, self._ignored
        place, length = 0, len(text)
        while place < length:
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
                raise NoPhrase(f"no terminal fits {text[place]!r}")
        return found

    def matcher(self, terminal: str) -> _Match:
        """Return what matches the terminal of this name at a place of a text."""
        return self._match(next(each for each in self._terminals if each.name == terminal))

    def _beginning_with(self, signs: str) -> _Candidates:
        """Return the terminals that may match where `signs` stand, the next two of the text or its last one."""
        known = signs if signs.isascii() else ""
        found = self._candidates.get(known)
        if found is None:
            found = self._candidates[known] = [(each.name, self._match(each)) for each in self._fitting(known)]
        return found

    def _fitting(self, signs: str) -> list[Terminal]:
        if not signs:  # nothing is known of them
            return self._terminals
        if signs not in self._of:
            first, after = signs[0], signs[1:]
            among = self._fitting(first) if after else self._terminals
            self._of[signs] = [
                each
                for each in among
                if each.empty
                or first in each.lone
                or (first in each.pairs and (not after or after in each.pairs[first]))
            ]
        return self._of[signs]

    def _match(self, terminal: Terminal) -> _Match:
        if terminal.name not in self._made:
            self._made[terminal.name] = terminal.matcher(self._made_by)
        return self._made[terminal.name]
