"""Feed fuses against the start currents of the loads behind them."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.choosing.families.currents import slot_current
from allocator.choosing.keys import FeedStart
from allocator.choosing.rows import Row, Variable, at_least, at_most
from allocator.choosing.variables import Term, Variables
from allocator.pricing import Alike, Slot, milliamperes_down, milliamperes_up
from allocator.wiring import fuse_stands_a


def feed_starts(v: Variables) -> Iterator[Row]:
    """``c[s, m] + spare_current fit[s] + d[i, m] w[i, s] <= sum_g M(t[i]) F[s, g] feed[s, g]``.

    ``c >= sum_o a[o, m] x[o]`` is what the slot carries, said once for all loads that start there. ``d`` is the start current of a load of group *i* over what it heats with in condition *m*, ``w[i, s]`` is 1 where
    one of the group is fed from *s*, ``M(t) F`` is what a fuse of ``F`` stands for the time of the start.
    """
    pricing = v.pricing
    for slot in pricing.slots:
        carried: dict[int, Variable] = {}
        for group in pricing.alike:
            if group.sample.inrush_a is None:
                continue
            fed = [
                (v.take[o.index], float(n))
                for o in pricing.by_slot[slot.index]
                for g, n in o.candidate.members
                if g == group.index
            ]
            if fed:
                yield from _rows(v, slot, group, fed, carried)


def _rows(
    v: Variables, slot: Slot, group: Alike, fed: list[Term], carried: dict[int, Variable]
) -> Iterator[Row]:
    pricing, load = v.pricing, group.sample
    tag = f"{slot.index},{group.index}"
    started = fed
    if len(group.loads) > 1:
        present = v.add(f"w[{tag}]")
        started = [(present, 1.0)]
        yield at_least(f"starts[{tag}]", [(present, float(len(group.loads))), *((x, -n) for x, n in fed)], 0)
    stood = [(v.feed[f.index], -float(_stood_ma(f.fuse_a, load.inrush_s))) for f in pricing.feeds_by_slot[slot.index]]
    for m in range(len(pricing.problem.conditions)):
        if load.levels[m] <= 0:
            continue
        extra = milliamperes_up(load.inrush_a or 0.0) - pricing.heating_ma[group.index][m]
        if extra > 0:
            if m not in carried:
                current = carried[m] = v.add(f"c[{slot.index},{m}]", None, integer=False)
                yield at_least(
                    f"carried[{slot.index},{m}]", [(current, 1.0), *_scaled(slot_current(v, slot, None, m), -1.0)], 0
                )
            terms = [(carried[m], 1.0), (v.fit[slot.index], float(slot.spare_current_ma)), *stood]
            yield at_most(FeedStart(slot.index, group.index, m), [*terms, *_scaled(started, extra)], 0)


FOR_EVER_S = 3600.0
"""A start of unknown length is taken to last."""


def _stood_ma(fuse_a: float, seconds: float | None) -> int:
    return milliamperes_down(fuse_stands_a(fuse_a, FOR_EVER_S if seconds is None else seconds))


def _scaled(terms: list[Term], factor: float) -> list[tuple[Variable, float]]:
    return [(variable, factor * n) for variable, n in terms]
