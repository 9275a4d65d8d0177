"""Rules on the volts all over a layout, in every condition."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.checking.report import Breach, number
from allocator.evaluation.context import Context
from allocator.evaluation.network_volts import each_at_most, volts_of
from allocator.evaluation.tolerance import excess


def network_drop(context: Context) -> Iterator[Breach]:
    """In no condition does a load lose more between output and return point than it may."""
    for one in each_at_most(volts_of(context).loads, lambda one: one.drop_v):
        over = excess(one.drop_v, one.limit_v)
        if over > 0.0:
            text = (
                f"load {one.load} loses {number(one.drop_v)} V on its wires in {one.condition}, "
                f"{number(over)} V over its {number(one.limit_v)} V"
            )
            yield Breach(f"load {one.load} in condition {one.condition}", over, "V", text)


def network_volts(context: Context) -> Iterator[Breach]:
    """With the source at its lowest, every load has its ``min_volts`` in every condition."""
    for one in volts_of(context).worst:
        least = context.problem.load[one.load].min_volts_v
        short = excess(least, one.lowest_v) if least is not None else 0.0
        if least is not None and short > 0.0:
            text = (
                f"load {one.load} is left {number(one.lowest_v)} V in {one.condition}, "
                f"{number(short)} V below its {number(least)} V"
            )
            yield Breach(f"load {one.load} in condition {one.condition}", short, "V", text)


def network_studs(context: Context) -> Iterator[Breach]:
    """In no condition does more flow into a ground stud than its limit."""
    limits = {f"stud {place.name}": place.stud_a for place in context.problem.places}
    for one in volts_of(context).grounds:
        limit = limits.get(one.ground)
        over = excess(one.current_a, limit) if limit is not None else 0.0
        if limit is not None and over > 0.0:
            text = (
                f"{number(one.current_a)} A flows into {one.ground} in {one.condition}, "
                f"{number(over)} A over its {number(limit)} A"
            )
            yield Breach(f"{one.ground} in condition {one.condition}", over, "A", text)
