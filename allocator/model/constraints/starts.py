"""Feed fuses against the start currents of the loads behind them."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.model.constraints.currents import most_drawn_ma, slot_current
from allocator.model.keys import FeedStart
from allocator.model.rows import Row, Variable, at_least, at_most
from allocator.model.variables import Term, Variables
from allocator.options import LoadGroup, Slot, milliamperes_down, milliamperes_up
from allocator.options.feed_options import FOR_EVER_S
from allocator.wiring import fuse_stands_a


def feed_starts(v: Variables) -> Iterator[Row]:
    """``c[s, m] + d[i, m] w[i, s] <= q[s, t[i]]``.

    ``c >= sum_o a[o, m] x[o] + spare_current fit[s]`` is what the slot carries, ``q <= sum_g M(t) F[s, g] feed[s, g]``
    what its fuse ``F`` withstands for the time ``t`` of a start: one row each for all loads that start there. ``d`` is
    the start current of a load of group *i* over what it heats with in condition *m*, ``w[i, s]`` is 1 where one of
    the group is fed from *s*.
    """
    for slot in v.option_list.slots:
        yield from _Starts(v, slot).rows()


class _Starts:
    """The rows of one slot."""

    def __init__(self, v: Variables, slot: Slot):
        self.v, self.slot = v, slot
        self.carried: dict[int, Variable] = {}
        self.stood: dict[float | None, Variable] = {}

    def rows(self) -> Iterator[Row]:
        for group in self.v.option_list.load_groups:
            if group.sample.inrush_a is None:
                continue
            fed = [
                (self.v.take[o.index], float(n))
                for o in self.v.option_list.by_slot[self.slot.index]
                for g, n in o.candidate.members
                if g == group.index
            ]
            if fed:
                yield from self._of(group, fed)

    def _of(self, group: LoadGroup, fed: list[Term]) -> Iterator[Row]:
        option_list, load = self.v.option_list, group.sample
        started = fed
        if len(group.loads) > 1:
            present = self.v.add(f"w[{self.slot.index},{group.index}]")
            started = [(present, 1.0)]
            counted = [(present, float(len(group.loads))), *_scaled(fed, -1.0)]
            yield at_least(f"starts[{self.slot.index},{group.index}]", counted, 0)
        for m in range(len(option_list.problem.conditions)):
            extra = milliamperes_up(load.inrush_a or 0.0) - option_list.heating_ma[group.index][m]
            if load.levels[m] > 0 and extra > 0:
                yield from self._carried(m)
                yield from self._stood(load.inrush_s)
                terms = [(self.carried[m], 1.0), (self.stood[load.inrush_s], -1.0), *_scaled(started, extra)]
                yield at_most(FeedStart(self.slot.index, group.index, m), terms, 0)

    def _carried(self, m: int) -> Iterator[Row]:
        if m in self.carried:
            return
        most = most_drawn_ma(self.v, self.slot, m)
        current = self.carried[m] = self.v.add(f"c[{self.slot.index},{m}]", most, integer=False)
        spare = (self.v.fit[self.slot.index], float(self.slot.spare_current_ma))
        terms = [*slot_current(self.v, self.slot, None, m), spare]
        yield at_least(f"carried[{self.slot.index},{m}]", [(current, 1.0), *_scaled(terms, -1.0)], 0)

    def _stood(self, seconds: float | None) -> Iterator[Row]:
        if seconds in self.stood:
            return
        feeds = self.v.option_list.feeds_by_slot[self.slot.index]
        stands = {f.index: float(stood_ma(f.fuse_a, seconds)) for f in feeds}
        name = f"q[{self.slot.index},{len(self.stood)}]"
        most = self.stood[seconds] = self.v.add(name, max(stands.values(), default=0.0), integer=False)
        terms = [(self.v.feed[f], -stood) for f, stood in stands.items()]
        yield at_most(f"stood[{most.name}]", [(most, 1.0), *terms], 0)


def stood_ma(fuse_a: float, seconds: float | None) -> int:
    """What a fuse withstands for the time of a start, in whole mA; None: a start of unknown length."""
    return milliamperes_down(fuse_stands_a(fuse_a, FOR_EVER_S if seconds is None else seconds))


def _scaled(terms: list[Term], factor: float) -> list[tuple[Variable, float]]:
    return [(variable, factor * n) for variable, n in terms]
