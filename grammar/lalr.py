"""The parse table of a grammar file, driven without what a scan has no need of.

lark's own driver may be asked at each token what can come next; that takes most of the time
of a scan. Here the longest phrase is found on a stack of numbers, and a tree is built only for it.
"""

from collections.abc import Callable, Sequence
from typing import Any

from lark import Lark, Token, Tree
from lark.exceptions import LarkError
from lark.parsers.lalr_analysis import Shift

_END = "$END"
_NO_MORE = Token(_END, "")
_Step = tuple[int, str, Callable[[list[Any]], Any] | None]
"""A state to go to; or how many parts a rule puts together, to what, and how."""


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

    def longest(self, tokens: Sequence[Token], index: int, passed_over: str) -> tuple[int, Tree[Token] | None]:
        """Return where the longest phrase from `index` ends, and its tree; `index` and None where there is none.

        Tokens of the type `passed_over` may stand anywhere within it.
        """
        stack = [self._start]
        ends: list[tuple[int, int]] = []
        within: list[Token] = []
        for end in range(index, len(tokens)):
            kind = tokens[end].type
            if kind == passed_over:
                continue
            if not self._shift(stack, kind):
                break
            within.append(tokens[end])
            if _END in self._states[stack[-1]]:  # which allows an end here, or in the same state after other tokens
                ends.append((end + 1, len(within)))
        for end, count in reversed(ends):
            try:
                return end, self.tree(within[:count])
            except LarkError:
                continue
        return index, None

    def _shift(self, stack: list[int], kind: str) -> bool:
        """Put a symbol on the stack, if it may stand there."""
        while True:
            step = self._states[stack[-1]].get(kind)
            if step is None:
                return False
            to, origin, build = step
            if build is None:
                stack.append(to)
                return True
            if to:
                del stack[-to:]
            stack.append(self._states[stack[-1]][origin][0])

    def tree(self, tokens: Sequence[Token]) -> Tree[Token]:
        """Return the tree that lark builds of these tokens. Raises LarkError where they are no phrase."""
        states, last = self._states, self._end
        state = self._start
        stack = [state]
        values: list[Any] = []
        for token in [*tokens, _NO_MORE]:
            kind = token.type
            while True:
                step = states[state].get(kind)
                if step is None:
                    raise LarkError(f"no phrase goes on with {token.value!r}")
                to, origin, build = step
                if build is None:
                    state = to
                    stack.append(state)
                    values.append(token)
                    break
                parts = []
                if to:
                    parts = values[-to:]
                    del stack[-to:], values[-to:]
                values.append(build(parts))
                state = states[stack[-1]][origin][0]
                stack.append(state)
                if state == last:
                    whole: Tree[Token] = values[-1]
                    return whole
        raise LarkError("the phrase breaks off")
