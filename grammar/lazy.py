"""Attributes worked out when they are first asked for, without the lock that `functools.cached_property` takes."""

from collections.abc import Callable
from typing import Any, Generic, Self, TypeVar, overload

T = TypeVar("T")


class lazy(Generic[T]):
    """An attribute that its function works out once for each object, which must have a `__dict__`."""

    def __init__(self, work: Callable[[Any], T]) -> None:
        self.work, self.name, self.__doc__ = work, work.__name__, work.__doc__

    @overload
    def __get__(self, instance: None, owner: type) -> Self: ...

    @overload
    def __get__(self, instance: object, owner: type) -> T: ...

    def __get__(self, instance: object | None, owner: type) -> Self | T:
        """Work the attribute out; from then on it is found in the object before anybody asks here."""
        if instance is None:
            return self
        found = instance.__dict__[self.name] = self.work(instance)
        return found
