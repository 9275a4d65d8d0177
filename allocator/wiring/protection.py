"""What protects a wire: trip settings of outputs, and fuses."""

from __future__ import annotations

from functools import lru_cache
from math import floor

from allocator.problem import OutputClass
from allocator.wiring.tables import rows

_SAME = 1e-9


@lru_cache(maxsize=1024)
def trip_settings(output_class: OutputClass) -> tuple[float, ...]:
    """Trip settings of an output, ascending, in A: those listed, or the multiples of its step.

    None is above the continuous rating.
    """
    top = output_class.continuous_a * (1 + _SAME)
    step = output_class.trip_step_a
    if step is None:
        return tuple(sorted(trip for trip in output_class.trips_a if trip <= top))
    # rounded so that 3 x 0.1 A is 0.3 A
    return tuple(round(count * step, 9) for count in range(1, floor(top / step) + 1))


def least_trip(output_class: OutputClass, at_least_a: float) -> float | None:
    """The least trip setting of an output that is not below a current; None where there is none."""
    return _least(trip_settings(output_class), at_least_a)


@lru_cache(maxsize=1)
def standard_fuses() -> tuple[float, ...]:
    """Standard fuse ratings, ascending, in A (ISO 8820-3 to 40 A; above, common practice, no source)."""
    return tuple(sorted(float(row["rating [A]"]) for row in rows("fuses")))


def least_fuse(at_least_a: float) -> float | None:
    """The least standard fuse that is not below a current; None above the largest."""
    return _least(standard_fuses(), at_least_a)


def largest_fuse(at_most_a: float) -> float | None:
    """The largest standard fuse that is not above a current; None below the least."""
    return max((fuse for fuse in standard_fuses() if fuse <= at_most_a * (1 + _SAME)), default=None)


def _least(ratings: tuple[float, ...], at_least_a: float) -> float | None:
    return next((rating for rating in ratings if rating >= at_least_a * (1 - _SAME)), None)
