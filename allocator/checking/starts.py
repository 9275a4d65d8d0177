"""The rule on what an output gives while its loads start."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.checking.branches import Fed
from allocator.checking.context import Context
from allocator.checking.report import Breach, excess, number


def start_current(context: Context) -> Iterator[Breach]:
    """All that start together, and the full current of the others, within what each output gives for the time.

    ``sum of inrush + sum of full current <= allowance(t) k pu`` for the duration *t* of each start.
    """
    for fed in context.circuits:
        for seconds in sorted({load.inrush_s for load in fed.loads if load.inrush_s is not None}):
            allowance = allowance_a(fed, seconds)
            if allowance is None:
                continue
            current = starting_a(fed, seconds) / (fed.parallel * fed.parallel_use)
            over = excess(current, allowance)
            if over > 0.0:
                each = "each output of " if fed.parallel > 1 else ""
                text = (
                    f"{each}{fed.label} gives {number(current)} A for {number(seconds)} s at a start, "
                    f"{number(over)} A over the {number(allowance)} A it has for that long"
                )
                yield Breach(fed.label, over, "A", text)


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
