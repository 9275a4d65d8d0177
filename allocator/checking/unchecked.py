"""What a problem may ask and no rule holds a layout against yet: said, never passed over."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.checking.context import Context
from allocator.checking.report import Breach
from allocator.problem import Supply


def not_yet_checked(context: Context) -> Iterator[Breach]:
    """A layout of a problem with words that are not checked yet is not clean."""
    problem = context.problem
    waiting = {
        "bundle factors": 1 if problem.margins.bundle else 0,
        "wires of loads fed from a source": sum(load.supply is Supply.DIRECT for load in problem.loads),
        "given wires": len(problem.given_wires),
        "start currents": sum(load.inrush_a is not None for load in problem.loads),
    }
    for what, count in waiting.items():
        if count:
            yield Breach(what, count, "times", f"{what} are asked for, but not yet checked")
