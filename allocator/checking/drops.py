"""Rules on what is lost between source and load."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.checking.circuits import drops_v
from allocator.checking.context import Context
from allocator.checking.report import Breach, excess, number
from allocator.problem import Load


def branch_drop(context: Context) -> Iterator[Breach]:
    """Wire, contacts, splices and return lose at most the load's ``max_drop``, or else ``branch_drop``."""
    for load, drop in _drops(context):
        share = context.problem.margins.branch_drop if load.max_drop is None else load.max_drop
        limit = share * context.problem.running_v
        over = excess(drop, limit)
        if over > 0.0:
            over_limit = f"{number(over)} V over its {number(limit)} V"
            text = f"load {load.name} loses {number(drop)} V on its wires, {over_limit}"
            yield Breach(f"load {load.name}", over, "V", text)


def least_volts(context: Context) -> Iterator[Breach]:
    """``lowest - feed_drop running - drop >= min_volts`` at the load's terminals."""
    problem = context.problem
    for load, drop in _drops(context):
        if load.min_volts_v is None:
            continue
        left = problem.lowest_v - problem.margins.feed_drop * problem.running_v - drop
        short = excess(load.min_volts_v, left)
        if short > 0.0:
            below = f"{number(short)} V below its {number(load.min_volts_v)} V"
            text = f"load {load.name} is left {number(left)} V, {below}"
            yield Breach(f"load {load.name}", short, "V", text)


def _drops(context: Context) -> Iterator[tuple[Load, float]]:
    for fed in context.circuits:
        drops = drops_v(fed, context.problem.margins.splice_wires)
        for load in fed.loads:
            drop = drops[load.name]
            if drop is not None:
                yield load, drop
