"""Rules on what is lost between source and load."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.checking.report import Breach, number
from allocator.evaluation.branches import Direct
from allocator.evaluation.context import Context
from allocator.evaluation.direct_loads import drop_limit_v
from allocator.evaluation.resolved_circuits import drops_v
from allocator.evaluation.tolerance import excess
from allocator.problem import Load


def branch_drop(context: Context) -> Iterator[Breach]:
    """Wire, contacts, splices and return lose at most the load's ``max_drop``, or else ``branch_drop``."""
    for load, drop, _ in _drops(context):
        limit = drop_limit_v(context.problem, load)
        over = excess(drop, limit)
        if over > 0.0:
            over_limit = f"{number(over)} V over its {number(limit)} V"
            text = f"load {load.name} loses {number(drop)} V on its wires, {over_limit}"
            yield Breach(f"load {load.name}", over, "V", text)


def least_volts(context: Context) -> Iterator[Breach]:
    """``lowest - feed_drop running - drop >= min_volts`` at the load's terminals; a direct load has no feed."""
    for load, drop, feed_v in _drops(context):
        if load.min_volts_v is None:
            continue
        left = context.problem.lowest_v - feed_v - drop
        short = excess(load.min_volts_v, left)
        if short > 0.0:
            below = f"{number(short)} V below its {number(load.min_volts_v)} V"
            text = f"load {load.name} is left {number(left)} V, {below}"
            yield Breach(f"load {load.name}", short, "V", text)


def _drops(context: Context) -> Iterator[tuple[Load, float, float]]:
    """Loads, what they lose on their wires, and what the feed before them may lose."""
    feed_v = context.problem.margins.feed_drop * context.problem.running_v
    for branch in context.branches:
        drops = drops_v(branch, context.problem.margins.splice_wires)
        for load in branch.loads:
            drop = drops[load.name]
            if drop is not None:
                yield load, drop, 0.0 if isinstance(branch, Direct) else feed_v
