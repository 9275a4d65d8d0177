"""Round figures along an axis."""

from __future__ import annotations

from math import ceil, floor, log10

_ROUND = (1.0, 2.0, 2.5, 5.0, 10.0)


def ticks(low: float, high: float, most: int, *, whole: bool = False) -> list[float]:
    """Multiples of a round step along an axis.

    Parameters
    ----------
    low, high
        Ends of the axis; the last multiple is at ``high`` or above it.
    most
        How many steps at most.
    whole
        Whole steps only.
    """
    least = (high - low) / most
    power = 10.0 ** floor(log10(least))
    steps = [power * factor for factor in (*_ROUND, 20.0, 50.0)]
    if whole:
        steps = [max(1.0, step) for step in steps if step >= 1.0 and step == int(step)] or [1.0]
    step = next((step for step in steps if step >= least * (1.0 - 1e-9)), steps[-1])
    first, last = ceil(low / step - 1e-9), floor(high / step + 1e-9)
    return [step * n for n in range(first, last + 1)]
