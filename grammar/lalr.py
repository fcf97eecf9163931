"""The parse table of a grammar file, driven without what a scan has no need of.

lark's own driver may be asked at each token what can come next; that takes most of the time
of a scan. Here the longest phrase is found on a stack of numbers, and a tree is built only for it.
Both follow from the kinds of the tokens alone, and few kinds follow each other in most texts
("number, move"), so that what came of them is remembered.
"""

from collections.abc import Sequence
from functools import lru_cache

from .automaton import Grammar, Rule
from .lexing import Token
from .trees import NoPhrase, Tree

_END = "$END"
_REMEMBERED = 1024
_Stack = tuple[int, ...]
_Part = int | Tree[int]


class Table:
    """What each state does at each symbol."""

    def __init__(self, grammar: Grammar) -> None:
        self._start, self._end = grammar.start, grammar.end
        self._states, self._rules = grammar.states, grammar.rules
        self.first = frozenset(self._states[self._start].keys() - {_END})
        """The symbols that may stand first."""
        self._after = lru_cache(_REMEMBERED)(self._shifted)
        self._shape = lru_cache(_REMEMBERED)(self._built)

    def longest(self, tokens: Sequence[Token], index: int, passed_over: str) -> int:
        """Return where the longest phrase from `index` ends; `index` where there is none.

        Tokens of the type `passed_over` may stand anywhere within it.
        """
        stack: _Stack = (self._start,)
        longest = index
        for end in range(index, len(tokens)):
            kind = tokens[end].type
            if kind == passed_over:
                continue
            after = self._after(stack, kind)
            if after is None:
                break
            stack, whole = after
            if whole:
                longest = end + 1
        return longest

    def _shifted(self, stack: _Stack, kind: str) -> tuple[_Stack, bool] | None:
        """Return the stack with a symbol put on it, if it may stand there, and whether that is a whole phrase."""
        left = list(stack)
        while True:
            action = self._states[left[-1]].get(kind)
            if action is None:
                return None
            if action >= 0:
                left.append(action)
                return tuple(left), self._ends(left)
            self._reduce(left, self._rules[-1 - action])

    def _ends(self, stack: list[int]) -> bool:
        """Tell whether what is on the stack is a whole phrase."""
        left = stack.copy()
        while left[-1] != self._end:
            action = self._states[left[-1]].get(_END)
            if action is None:
                return False
            self._reduce(left, self._rules[-1 - action])
        return True

    def _reduce(self, stack: list[int], rule: Rule) -> None:
        if rule.length:
            del stack[-rule.length :]
        stack.append(self._states[stack[-1]][rule.origin])

    def tree(self, tokens: Sequence[Token]) -> Tree[Token]:
        """Return the tree that lark builds of these tokens. Raises NoPhrase where they are no phrase."""
        return _filled(self._shape(tuple([token.type for token in tokens])), tokens)

    def _built(self, kinds: tuple[str, ...]) -> Tree[int]:
        """Return the tree of tokens of these kinds, with the place of each token instead of it."""
        stack = [self._start]
        values: list[_Part] = []
        for place, kind in enumerate((*kinds, _END)):
            while True:
                action = self._states[stack[-1]].get(kind)
                if action is None:
                    raise NoPhrase(f"no phrase goes on with {kind}")
                if action >= 0:
                    stack.append(action)
                    values.append(place)
                    break
                rule = self._rules[-1 - action]
                parts = values[len(values) - rule.length :]
                del values[len(values) - rule.length :]
                values.append(_put_together(rule, parts))
                self._reduce(stack, rule)
                if stack[-1] == self._end:
                    whole = values[-1]
                    assert isinstance(whole, Tree)
                    return whole
        raise NoPhrase("the phrase breaks off")


def _put_together(rule: Rule, parts: list[_Part]) -> _Part:
    kept: list[_Part] = []
    for place, inlined in rule.kept:
        part = parts[place]
        if inlined and isinstance(part, Tree):
            kept += part.children
        else:
            kept.append(part)
    return kept[0] if rule.lone and len(kept) == 1 else Tree(rule.name, kept)


def _filled(shape: Tree[int], tokens: Sequence[Token]) -> Tree[Token]:
    return Tree(
        shape.data,
        [tokens[part] if type(part) is int else _filled(part, tokens) for part in shape.children],  # type: ignore[arg-type]
    )
