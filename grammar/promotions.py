"""What a pawn may become, told in one breath: "becomes a queen or a rook on d eight"."""

from collections.abc import Iterator
from dataclasses import replace

from lark import Tree

from .lexing import Token
from .moves import MovePhrase
from .speech import man_of


def promotions(tree: Tree[Token], phrase: MovePhrase) -> list[MovePhrase]:
    """Return a move for each man that its pawn may become, the move itself where that is one or none."""
    kinds = list(_named(tree))
    if len(kinds) < 2:
        return [phrase]
    return [replace(phrase, promotion=man_of(man.value), promotion_span=man.span) for man in kinds]


def _named(tree: Tree[Token]) -> Iterator[Token]:
    for part in tree.children:
        if isinstance(part, Tree) and part.data == "promoted":
            yield next(each for each in part.children if isinstance(each, Token) and each.type == "MAN")
        elif isinstance(part, Tree):
            yield from _named(part)
