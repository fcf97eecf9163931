"""What a sentence or a line says by itself is remembered: a text that is being written is read again for each key."""

from collections.abc import Callable
from functools import lru_cache, wraps
from typing import Concatenate, ParamSpec, TypeVar

P = ParamSpec("P")
T = TypeVar("T")

MOST = 8192  # texts
LONGEST = 1000  # characters; a line may be as long as a book, and each key would leave one behind


def remembered(function: Callable[Concatenate[str, P], T]) -> Callable[Concatenate[str, P], T]:
    """Return the same function, with its answers for short texts remembered. They must not be changed by anybody."""
    kept = lru_cache(maxsize=MOST)(function)

    @wraps(function)
    def answer(text: str, *more: P.args, **named: P.kwargs) -> T:
        return (kept if len(text) <= LONGEST else function)(text, *more, **named)

    return answer
