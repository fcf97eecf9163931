"""The tree of a phrase, shaped as lark shapes its trees; a scan makes thousands, and none needs lark to be loaded."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Generic, TypeVar

from msgspec import Struct

T = TypeVar("T")


class NoPhrase(ValueError):
    """A text is no phrase of its grammar."""


class Tree(Struct, Generic[T]):
    """What a rule of a grammar found: the name of the rule, and its parts in order."""

    data: str
    children: list[T | Tree[T]]

    def leaves(self) -> Iterator[T]:
        """Yield all that is no tree, in the order of the text."""
        for part in self.children:
            if isinstance(part, Tree):
                yield from part.leaves()
            else:
                yield part

    def named(self, data: str) -> Iterator[Tree[T]]:
        """Yield the trees of a rule in this one, in the order of the text; none inside another of them."""
        for part in self.children:
            if isinstance(part, Tree):
                yield from [part] if part.data == data else part.named(data)
