"""The phrases of a grammar file, found wherever they stand in a text."""

from functools import cache

from lark import Token, Tree

from . import tables
from .lalr import Table
from .lexing import Lexer
from .spans import Span


class Phrases:
    """A grammar file whose start rule is one phrase. Its rule `aside` lists the terminals that begin none."""

    def __init__(self, name: str) -> None:
        parser = tables.parser(name)
        self._lexer, self._table = Lexer(parser), Table(parser)
        asides = {symbol.name for rule in parser.rules if rule.origin.name == "aside" for symbol in rule.expansion}
        self.first = self._table.first - asides
        """The terminals that a phrase may begin with."""

    def tokens(self, text: str, span: Span) -> list[Token]:
        """Split `span` of `text` into tokens whose `start_pos` and `end_pos` are offsets in `text`."""
        return list(self._lexer.tokens(span.of(text), span.start))

    def longest(self, block: list[Token], index: int) -> tuple[int, Tree[Token] | None]:
        """Return how many tokens the longest phrase from `index` takes, and its tree; 0 and None where there is none.

        Line ends inside a phrase are passed over, since prose is wrapped anywhere.
        """
        end, tree = self._table.longest(block, index, "NEWLINE")
        if tree is None:
            return 0, None
        child = tree.children[0]
        assert isinstance(child, Tree)
        return end - index, child


@cache
def phrases_of(name: str) -> Phrases:
    """Return the phrases of the grammar file `name` of this package."""
    return Phrases(name)
