"""The time that is left for an answer, and who is told what it is spent on."""

from __future__ import annotations

import time
from collections.abc import Callable

from allocator.clock import TimeUpError

Told = Callable[[str], None]
"""Hears what is being tried, a few words at a time."""

Stopped = Callable[[], bool]
"""Asked now and then whether to stop with what is found."""


class Stopwatch:
    """Time for an answer. ``undecided`` is set by whoever had to stop without an answer."""

    def __init__(self, limit_s: float | None, told: Told | None = None, stopped: Stopped | None = None):
        self._ends = None if limit_s is None else time.monotonic() + limit_s
        self._told, self._stopped = told, stopped
        self.undecided = False

    def unless_limited(self, limit_s: float) -> Stopwatch:
        """This one where it has a limit, else one that reports to the same and ends after so many seconds."""
        return self if self._ends is not None else Stopwatch(limit_s, self._told, self._stopped)

    def tell(self, what: str) -> None:
        """Say what the time is spent on from now on."""
        if self._told is not None:
            self._told(what)

    @property
    def left_s(self) -> float | None:
        """Seconds left, None without a limit; raises TimeUpError where there are none, or where it was stopped."""
        if self._stopped is not None and self._stopped():
            raise TimeUpError
        if self._ends is None:
            return None
        left = self._ends - time.monotonic()
        if left <= 0.0:
            raise TimeUpError
        return left

    def share_s(self, share: float) -> float | None:
        """A share of the seconds left."""
        left = self.left_s
        return None if left is None else share * left
