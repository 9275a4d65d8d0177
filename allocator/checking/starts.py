"""The rule on what an output gives while its loads start."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.checking.report import Breach, number
from allocator.evaluation.context import Context
from allocator.evaluation.start_currents import allowance_a, starting_a
from allocator.evaluation.tolerance import excess


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
