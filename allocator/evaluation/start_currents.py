"""What an output gives while its loads start, and what it may."""

from __future__ import annotations

from allocator.evaluation.branches import Fed


def allowance_a(fed: Fed, seconds: float) -> float | None:
    """The highest peak of an output at its site that lasts a time, and never less than its rating."""
    if fed.output_class is None or fed.mounted is None or fed.rating_a is None:
        return None
    lasting = (amperes for amperes, s in fed.output_class.peaks if s >= seconds * (1.0 - 1e-9))
    return max([fed.rating_a, *(amperes * fed.mounted.hot for amperes in lasting)])


def starting_a(fed: Fed, seconds: float) -> float:
    """Start currents of the loads whose start lasts a time at least, and the full current of the others."""
    return sum(
        load.inrush_a
        if load.inrush_a is not None and load.inrush_s is not None and load.inrush_s >= seconds * (1.0 - 1e-9)
        else load.full_current_a
        for load in fed.loads
    )
