"""When two figures count as one: what every comparison of an evaluation allows."""

from __future__ import annotations

from math import inf, isfinite

RELATIVE = 1e-9  # every comparison of the check allows this share


def excess(value: float, limit: float) -> float:
    """By how much a value passes its limit; 0.0 within the tolerance, infinite where one of them is NaN."""
    if not (isfinite(value) and isfinite(limit)):
        return 0.0 if value <= limit else inf
    allowed = RELATIVE * max(abs(value), abs(limit))
    return value - limit if value > limit + allowed else 0.0


CLOSE_G = 5e-4
"""Grams below which two figures of copper are the same: wires are weighed to a milligram."""
