"""What a sentence or a line says by itself is remembered: a text that is being written is read again for each key."""

from collections.abc import Callable
from functools import lru_cache, wraps
from typing import TypeVar, TypeVarTuple

More = TypeVarTuple("More")
T = TypeVar("T")

MOST = 8192  # texts
LONGEST = 1000  # characters; a line may be as long as a book, and each key would leave one behind
_MOST_BLOCKS = 2048
_LONGEST_BLOCK = 10_000


def remembered(function: Callable[[str, *More], T]) -> Callable[[str, *More], T]:
    """Return the same function, with its answers for short texts remembered. They must not be changed by anybody.

    Whatever else it is given must be hashable.
    """
    return _remembering(function, MOST, LONGEST)


def remembered_of_block(function: Callable[[str, *More], T]) -> Callable[[str, *More], T]:
    """Return the same function, with its answers for fewer, longer texts remembered, such as paragraphs."""
    return _remembering(function, _MOST_BLOCKS, _LONGEST_BLOCK)


def _remembering(function: Callable[[str, *More], T], most: int, longest: int) -> Callable[[str, *More], T]:
    kept: Callable[..., T] = lru_cache(maxsize=most)(function)

    @wraps(function)
    def answer(*given: *tuple[str, *More]) -> T:
        return (kept if len(given[0]) <= longest else function)(*given)

    return answer
