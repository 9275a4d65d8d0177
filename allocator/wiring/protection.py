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
    enough = at_least_a * (1 - _SAME)
    return next((trip for trip in trip_settings(output_class) if trip >= enough), None)


@lru_cache(maxsize=1)
def standard_fuses() -> tuple[float, ...]:
    """Standard fuse ratings, ascending, in A (ISO 8820-3 to 40 A; above, common practice, no source)."""
    return tuple(sorted(float(row["rating [A]"]) for row in rows("fuses")))
