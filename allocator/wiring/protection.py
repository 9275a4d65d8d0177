"""What protects a wire: trip settings of outputs, fuses, and how long a fuse stands more than its rating."""

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


def fuse_stands_a(fuse_a: float, seconds: float) -> float:
    """Largest current that a fuse is sure to stand for a time, in A.

    By the gates of ISO 8820-3 (from memory), in steps: 1.1 times its rating for ever, more for less than a
    second, nothing above 3.5 times however short. Between two gates the lower current holds.

    Raises
    ------
    ValueError
        When ``seconds`` is not above 0.
    """
    if not seconds > 0:
        raise ValueError(f"a start of {seconds:g} s. Give a time above 0.")
    return fuse_a * max(multiple for multiple, least_s in _gates() if least_s >= seconds * (1 - _SAME))


@lru_cache(maxsize=1)
def _gates() -> tuple[tuple[float, float], ...]:
    """Multiples of the rating, each with the least time in s that a fuse stands it."""
    return tuple((float(row["current over rating"]), float(row["least time [s]"])) for row in rows("fuse-gates"))
