"""What a search for the best layout has found, and the time that it has left."""

from __future__ import annotations

import time
from dataclasses import dataclass

from allocator.choosing import Choice
from allocator.pricing import Pricing

LEAST_S = 1.0
"""Seconds that completing a known layout may take beyond the limit."""


class Clock:
    """Seconds since it was made, and those left of a limit; None for no limit."""

    def __init__(self, limit_s: float | None):
        self._began = time.monotonic()
        self._limit_s = limit_s

    @property
    def seconds(self) -> float:
        """Seconds gone."""
        return time.monotonic() - self._began

    @property
    def left_s(self) -> float | None:
        """Seconds left, never below 0."""
        return None if self._limit_s is None else max(0.0, self._limit_s - self.seconds)

    def left_for(self, known: object) -> float | None:
        """Seconds for a solve; at least one where something is known, for a layout in hand is worth it."""
        left = self.left_s
        return left if left is None or known is None else max(left, LEAST_S)


@dataclass(frozen=True)
class Found:
    """A choice, the pricing it is made of, and the pricing whose options its proof covers."""

    pricing: Pricing
    choice: Choice
    covered: Pricing
