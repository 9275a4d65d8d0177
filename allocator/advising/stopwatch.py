"""What is left of the time that advice may take."""

from __future__ import annotations

import time


class OutOfTimeError(Exception):
    """The time for advice is up."""


class Stopwatch:
    """Time for advice. ``undecided`` is set by whoever had to stop before he knew."""

    def __init__(self, limit_s: float | None):
        self._ends = None if limit_s is None else time.monotonic() + limit_s
        self.undecided = False

    @property
    def left_s(self) -> float | None:
        """Seconds left, None without a limit; raises OutOfTimeError where there are none."""
        if self._ends is None:
            return None
        left = self._ends - time.monotonic()
        if left <= 0.0:
            raise OutOfTimeError
        return left

    def share_s(self, share: float) -> float | None:
        """A share of the seconds left."""
        left = self.left_s
        return None if left is None else share * left
