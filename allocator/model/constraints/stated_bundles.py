"""Bundles held by the table: as many wires, at such a loading, as a segment states."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from allocator.model.constraints.currents import most_drawn_ma, slot_current
from allocator.model.keys import BundleLoading, BundleWires
from allocator.model.rows import Row, Variable, at_least, at_most
from allocator.model.takers import Taker, takers, terms_of
from allocator.model.variables import Variables
from allocator.problem import Bundling


def as_stated(v: Variables) -> Iterator[Row]:
    """``sum_o n[o] x[o] <= wires[e]`` and ``sum_o (I[o, m] - loading[e] A[o]) x[o] <= 0`` per segment with lazy rows.

    The factor of the table is in the ampacities ``A``: it is that of the wires and the loading stated.
    """
    problem = v.option_list.problem
    if problem.margins.bundle is not Bundling.TABLE:
        return
    for e in v.option_list.lazy.bundles:
        most, loading = problem.stated_of(problem.segments[e])
        bundle = takers(v, e, beside=False)
        if not bundle:
            continue
        terms, there = terms_of(bundle, lambda own: own.add_up(lambda _: 1.0))
        yield at_most(BundleWires(e), terms, most - there)
        feeds = [own for own in bundle if own.slot is not None]
        for m in range(len(problem.conditions)) if most > 1 else ():

            def over(own: Taker, m: int = m, loading: float = loading) -> float:
                return own.add_up(lambda one: (one.currents_a[m] if one.currents_a else 0.0) - loading * one.ampacity_a)

            terms, there = terms_of(bundle, over)
            for slot in sorted({own.slot for own in feeds if own.slot is not None}):
                drawn = most_drawn_ma(v, v.option_list.slots[slot], m) / 1000.0
                carried = v.add(f"feedcurrent[{e},{slot},{m}]", drawn, integer=False)
                yield _carried_here(v, e, slot, m, carried, [own for own in feeds if own.slot == slot])
                terms.append((carried, 1.0))
            yield at_most(BundleLoading(e, m), terms, -there)


def _carried_here(v: Variables, e: int, slot: int, m: int, carried: Variable, feeds: Sequence[Taker]) -> Row:
    """``c >= I[s, m] - M (1 - sum_g feed[s, g])``: the current of a slot, where its feed passes the segment."""
    own = v.option_list.slots[slot]
    most = (own.limit_ma + own.spare_current_ma) / 1000.0
    current = [(x, -c / 1000.0) for x, c in slot_current(v, own, None, m)]
    spare = [(v.fit[slot], -own.spare_current_ma / 1000.0)]
    here = [(feed.variable, -most) for feed in feeds if feed.variable is not None]
    return at_least(f"feedcurrent[{e},{slot},{m}]", [(carried, 1.0), *current, *spare, *here], -most)
