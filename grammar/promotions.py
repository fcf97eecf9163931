"""What a pawn may become, told in one breath: "becomes a queen or a rook on d eight"."""

from msgspec.structs import replace

from .lexing import Token
from .moves import MovePhrase
from .speech import man_of
from .trees import Tree


def promotions(tree: Tree[Token], phrase: MovePhrase) -> list[MovePhrase]:
    """Return a move for each man that its pawn may become, the move itself where that is one or none."""
    kinds = [_man(part) for part in tree.named("promoted")]
    if len(kinds) < 2:
        return [phrase]
    return [replace(phrase, promotion=man_of(man.value), promotion_span=man.span) for man in kinds]


def _man(promoted: Tree[Token]) -> Token:
    return next(token for token in promoted.leaves() if token.type == "MAN")
