"""How much less a wire carries in a bundle: the curves of MIL-W-5088L (now SAE AS50881), figure 4."""

from __future__ import annotations

from bisect import bisect_right
from functools import lru_cache
from math import sqrt

from allocator.wiring.tables import rows

LOADINGS = (0.2, 0.4, 0.6, 0.8, 1.0)
"""Columns of the table: the current in a bundle as a share of what it may carry."""


@lru_cache(maxsize=4096)
def bundle_factor(wires: float, loading: float) -> float:
    """Share of the free-air ampacity that is left to each of a number of wires in a bundle.

    Straight lines between the rows; the loading is rounded up to the next column. The table ends at 19 wires.
    Beyond, the factor falls with ``sqrt(19 / wires)``: the whole bundle is allowed no more heat than 19 wires
    give, which lies below the published curves (at 35 wires and 20 % loading 0.46 against 0.52, from memory).

    Raises
    ------
    ValueError
        When ``wires`` is below 0, or ``loading`` is not above 0 and up to 1.
    """
    column = next_loading(loading)
    if wires < 0:
        raise ValueError(f"a bundle of {wires:g} wires. Count the wires from 0 up.")
    table = _columns()[column]
    last = len(table)
    if wires <= 1:
        return 1.0
    if wires >= last:
        return table[-1] * sqrt(last / wires)
    below = int(wires)
    low, high = table[below - 1], table[below]
    return low + (high - low) * (wires - below)


def next_loading(loading: float) -> float:
    """The column of the table that serves a loading: the same or the next above.

    Raises
    ------
    ValueError
        When ``loading`` is not above 0 and up to 1.
    """
    if not 0 < loading <= 1 + 1e-9:
        raise ValueError(f"bundle loading {loading:g} is not above 0 and up to 1. Give a share such as 0.6.")
    return LOADINGS[min(bisect_right(LOADINGS, loading - 1e-9), len(LOADINGS) - 1)]


@lru_cache(maxsize=1)
def _columns() -> dict[float, tuple[float, ...]]:
    """Factors by loading, for 1, 2, 3 ... wires."""
    table = rows("bundle-factors")
    if [int(row["wires"]) for row in table] != list(range(1, len(table) + 1)):
        raise ValueError("bundle-factors.csv does not count its wires 1, 2, 3 ... Restore the file.")
    return {at: tuple(float(row[f"{100 * at:.0f} %"]) for row in table) for at in LOADINGS}
