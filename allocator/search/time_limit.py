"""The time that a search has left."""

from __future__ import annotations

import time
from contextlib import AbstractContextManager

from allocator.clock import at_least, until

LEAST_S = 1.0
"""Seconds that fix and optimise may take beyond the limit where a layout is known."""

COMPLETING_S, COMPLETING_SHARE = 0.004, 0.25
"""Seconds per load kept back from the limit to assemble, check and show a layout; never more than this share of it."""


class Clock:
    """Seconds since it was made, and those left of a limit for searching; None for no limit.

    ``loads``: enough of the limit is kept back to complete a layout of so many. ``kept_back_s`` more are kept back
    while nothing has been found.
    """

    def __init__(self, limit_s: float | None, loads: int = 0, kept_back_s: float = 0.0):
        self.kept_back_s = kept_back_s
        self._began = time.monotonic()
        self._limit_s = None
        if limit_s is not None:
            self._limit_s = limit_s - min(COMPLETING_S * loads, COMPLETING_SHARE * limit_s)

    @property
    def seconds(self) -> float:
        """Seconds elapsed."""
        return time.monotonic() - self._began

    @property
    def left_s(self) -> float | None:
        """Seconds left, never below 0."""
        return None if self._limit_s is None else max(0.0, self._limit_s - self.seconds)

    def left_for(self, incumbent: object) -> float | None:
        """Seconds for a solve; at least one where there is an incumbent, for a layout in hand is worth it."""
        left = self.left_s
        return left if left is None or incumbent is None else max(left, LEAST_S)

    def searching(self, incumbent: object = None) -> AbstractContextManager[None]:
        """Within, every long loop ends where the time for searching is up."""
        return until(self.left_for(incumbent))


def completing(interrupted: bool) -> AbstractContextManager[None]:
    """Within, fix and optimise has at least a second; once interrupted, no more than that."""
    return until(LEAST_S) if interrupted else at_least(LEAST_S)
