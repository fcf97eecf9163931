"""A Markdown text in parts that know nothing of each other, so that only those that changed are parsed again.

A block of CommonMark that begins at the top level begins anew: what stands above it has been closed, and
nothing of it is looked at again, but for the definitions of links. So a text may be cut before each such
block, and the parser itself says where one begins.
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache

from markdown_it import MarkdownIt
from markdown_it.token import Token
from msgspec import Struct

_MOST = 2048  # parts that are remembered
_LONGEST = 10_000  # characters


class Part(Struct, frozen=True):
    """Some lines of a text: the tokens of their blocks, with lines counted from the first of them.

    `references` are the links defined there.
    """

    tokens: tuple[Token, ...]
    references: dict[str, object]


def parts(source: str, markdown: MarkdownIt) -> Iterator[tuple[int, Part]]:
    """Yield the parts of a text, each with its first line (from 0). Together they have the tokens of the whole."""
    lines = source.split("\n")
    cuts = [at for at in range(1, len(lines)) if _may_begin(lines[at - 1], lines[at])]
    cuts.append(len(lines))
    first = place = 0
    step = 1  # doubled while a block goes on, so that a long one costs no more than a few parses
    while first < len(lines):
        cut = cuts[place]
        part = _parted(lines, first, cut, markdown)
        if part is None:
            place = min(place + step, len(cuts) - 1)
            step *= 2
            continue
        yield first, part
        first, place, step = cut, place + 1, 1


def _may_begin(above: str, line: str) -> bool:
    """Tell by a look whether a block of the top level may begin on a line; the parser decides."""
    return not above.strip(" \t") and line[:1] not in ("", " ", "\t")


def _parted(lines: Sequence[str], first: int, cut: int, markdown: MarkdownIt) -> Part | None:
    """Return the part before a line, None where no block of the top level begins on it."""
    below = cut - first if cut < len(lines) else None
    text = "\n".join(lines[first : cut + 1])
    return (_parse if len(text) <= _LONGEST else _parse.__wrapped__)(text, below, markdown)


@lru_cache(maxsize=_MOST)
def _parse(text: str, below: int | None, markdown: MarkdownIt) -> Part | None:
    tokens: list[Token] = []
    env: dict[str, dict[str, object]] = {}
    markdown.block.parse(text, markdown, env, tokens)
    if below is not None:
        begun = (at for at, token in enumerate(tokens) if not token.level and token.map and token.map[0] == below)
        end = next(begun, None)
        if end is None:
            return None
        del tokens[end:]
    return Part(tuple(tokens), env.get("references", {}))
