"""How long a search may go on, and how to stop it from another thread."""

import time

from msgspec import Struct


class Cancel:
    """A switch that stops every search it was given to. It may be thrown from any thread, and stays thrown."""

    def __init__(self) -> None:
        self.flag = bytearray(1)  # a search outside the interpreter lock watches this byte

    def cancel(self) -> None:
        """Stop the searches; each returns what it has proved so far."""
        self.flag[0] = 1

    @property
    def cancelled(self) -> bool:
        """True once `cancel` was called."""
        return self.flag[0] != 0


class Limits(Struct, frozen=True):
    """Where a search ends unfinished: positions looked at, seconds (None: no limit), a switch.

    Only the first gives the same answer on every machine.
    """

    positions: int
    seconds: float | None = None
    cancel: Cancel | None = None


class SearchEnded(Exception):
    """Raised inside the plain prover when its limits are reached."""


class Meter:
    """Counts positions against the limits of one search."""

    def __init__(self, limits: Limits) -> None:
        self.limits = limits
        self.positions = 0
        self.began = time.perf_counter()
        self.ended = False

    @property
    def seconds(self) -> float:
        """Seconds since the search began."""
        return time.perf_counter() - self.began

    def count(self) -> None:
        """Count one position; SearchEnded if a limit is reached."""
        self.positions += 1
        limits = self.limits
        if (
            self.positions > limits.positions
            or (limits.cancel is not None and limits.cancel.cancelled)
            or (limits.seconds is not None and self.positions % 64 == 0 and self.seconds > limits.seconds)
        ):
            self.ended = True
            raise SearchEnded
