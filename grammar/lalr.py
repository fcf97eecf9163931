"""The parse table of a grammar file, driven without what a scan has no need of.

lark's own driver may be asked at each token what can come next; that takes most of the time
of a scan. Here the longest phrase is found on a stack of numbers, and a tree is built only for it.
Both follow from the kinds of the tokens alone, and few kinds follow each other in most texts
("number, move"), so that what came of them is remembered.
"""

from collections.abc import Callable, Sequence
from functools import lru_cache
from typing import Any

from lark import Lark, Tree
from lark.exceptions import LarkError
from lark.parsers.lalr_analysis import Shift

from .lexing import Token

_END = "$END"
_REMEMBERED = 1024
_Step = tuple[int, str, Callable[[list[Any]], Any] | None]
"""A state to go to; or how many parts a rule puts together, to what, and how."""
_Stack = tuple[int, ...]


class Table:
    """What each state does at each symbol."""

    def __init__(self, parser: Lark) -> None:
        frontend: Any = parser.parser
        made: Any = frontend.parser.parser  # of the LALR parser: its table and how its rules build trees
        table = made.parse_table
        self._start: int = table.start_states["start"]
        self._end: int = table.end_states["start"]
        self._states: dict[int, dict[str, _Step]] = {
            state: {
                symbol: (to, "", None) if action is Shift else (len(to.expansion), to.origin.name, made.callbacks[to])
                for symbol, (action, to) in actions.items()
            }
            for state, actions in table.states.items()
        }
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
            step = self._states[left[-1]].get(kind)
            if step is None:
                return None
            to, origin, build = step
            if build is None:
                left.append(to)
                return tuple(left), self._ends(left)
            if to:
                del left[-to:]
            left.append(self._states[left[-1]][origin][0])

    def _ends(self, stack: list[int]) -> bool:
        """Tell whether what is on the stack is a whole phrase."""
        left = stack.copy()
        while left[-1] != self._end:
            step = self._states[left[-1]].get(_END)
            if step is None:
                return False
            to, origin, _ = step
            if to:
                del left[-to:]
            left.append(self._states[left[-1]][origin][0])
        return True

    def tree(self, tokens: Sequence[Token]) -> Tree[Token]:
        """Return the tree that lark builds of these tokens. Raises LarkError where they are no phrase."""
        return _filled(self._shape(tuple([token.type for token in tokens])), tokens)

    def _built(self, kinds: tuple[str, ...]) -> Tree[int]:
        """Return the tree of tokens of these kinds, with the place of each token instead of it."""
        stack = [self._start]
        values: list[Any] = []
        for place, kind in enumerate((*kinds, _END)):
            while True:
                step = self._states[stack[-1]].get(kind)
                if step is None:
                    raise LarkError(f"no phrase goes on with {kind}")
                to, origin, build = step
                if build is None:
                    stack.append(to)
                    values.append(place)
                    break
                parts = values[len(values) - to :]
                del stack[len(stack) - to :], values[len(values) - to :]
                values.append(build(parts))
                stack.append(self._states[stack[-1]][origin][0])
                if stack[-1] == self._end:
                    return _plainly_named(values[-1])
        raise LarkError("the phrase breaks off")


def _plainly_named(tree: Tree[int]) -> Tree[int]:
    """Give each part a name that is a plain string; lark's are tokens, slow to compare."""
    children = [part if isinstance(part, int) else _plainly_named(part) for part in tree.children]
    return Tree(str(tree.data), children)


def _filled(shape: Tree[int], tokens: Sequence[Token]) -> Tree[Token]:
    return Tree(
        shape.data, [tokens[part] if isinstance(part, int) else _filled(part, tokens) for part in shape.children]
    )
