"""The tree of a phrase, shaped as lark shapes its trees; a scan makes thousands, and none needs lark to be loaded."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Generic, TypeVar

T = TypeVar("T")


class NoPhrase(ValueError):
    """A text is no phrase of its grammar."""


class Tree(Generic[T]):
    """What a rule of a grammar found: the name of the rule, and its parts in order."""

    __slots__ = ("children", "data")

    def __init__(self, data: str, children: list[T | Tree[T]]) -> None:
        self.data, self.children = data, children

    def __eq__(self, other: object) -> bool:
        same = getattr(other, "data", None), getattr(other, "children", None)
        return (self.data, self.children) == same

    __hash__ = None  # type: ignore[assignment]  # the parts may change

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
