"""The longest phrase of a grammar at a place in a text, whatever stands around it."""

from collections.abc import Set

from lark import Lark, Token, Tree
from lark.exceptions import UnexpectedInput
from lark.parsers.lalr_interactive_parser import InteractiveParser


def choices(parser: InteractiveParser) -> Set[str]:
    """Return the terminals the parse table allows next; some may yet fail, since LALR merges lookaheads."""
    return parser.choices().keys()  # type: ignore[no-untyped-call,no-any-return]


def longest_phrase(lark: Lark, block: list[Token], index: int) -> tuple[int, Tree[Token] | None]:
    """Return how many tokens the longest phrase from `index` takes, and its tree; 0 and None where there is none.

    Line ends inside a phrase are passed over, since prose is wrapped anywhere.
    """
    parser = lark.parse_interactive("")
    ends: list[int] = []
    for end in range(index, len(block)):
        token = block[end]
        if token.type == "NEWLINE":
            continue
        if token.type not in choices(parser):
            break
        try:
            parser.feed_token(token)
        except UnexpectedInput:
            break
        if "$END" in choices(parser):
            ends.append(end + 1)
    for end in reversed(ends):
        # "$END" among the choices may be the end of a part that the whole phrase does not allow.
        parser = lark.parse_interactive("")
        try:
            for token in block[index:end]:
                if token.type != "NEWLINE":
                    parser.feed_token(token)
            tree: Tree[Token] = parser.feed_eof()  # type: ignore[no-untyped-call]
        except UnexpectedInput:
            continue
        child = tree.children[0]
        assert isinstance(child, Tree)
        return end - index, child
    return 0, None
