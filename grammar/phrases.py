"""The phrases of a grammar file, found wherever they stand in a text."""

import re
from collections.abc import Callable, Sequence
from functools import cache

from . import tables
from .lalr import Table
from .lexing import Lexer, Token
from .spans import Span
from .trees import Tree


class Phrases:
    """A grammar file whose start rule is one phrase. Its rule `aside` lists the terminals that begin none."""

    def __init__(self, name: str) -> None:
        grammar = tables.grammar(name)
        self._lexer, self._table = Lexer(grammar), Table(grammar)
        self.first = self._table.first.difference(grammar.asides)
        """The terminals that a phrase may begin with."""

    def tokens(self, text: str, span: Span | None = None) -> list[Token]:
        """Split `text`, or `span` of it, into tokens whose places are offsets in `text`. Raises NoPhrase."""
        return self._lexer.tokens(text) if span is None else self._lexer.tokens(span.of(text), span.start)

    def matcher(self, terminal: str) -> Callable[[str, int], re.Match[str] | None]:
        """Return what matches one terminal at a place of a text."""
        return self._lexer.matcher(terminal)

    def whole(self, tokens: Sequence[Token]) -> Tree[Token]:
        """Return the tree of tokens that are a phrase as a whole. Raises NoPhrase where they are none."""
        return self._table.tree(tokens)

    def longest(self, block: list[Token], index: int) -> tuple[int, Tree[Token] | None]:
        """Return how many tokens the longest phrase from `index` takes, and its tree; 0 and None where there is none.

        Line ends inside a phrase are passed over, since prose is wrapped anywhere.
        """
        end = self._table.longest(block, index, "NEWLINE")
        if end == index:
            return 0, None
        child = self._table.tree([token for token in block[index:end] if token.type != "NEWLINE"]).children[0]
        assert isinstance(child, Tree)
        return end - index, child


@cache
def phrases_of(name: str) -> Phrases:
    """Return the phrases of the grammar file `name` of this package."""
    return Phrases(name)
