"""Rows on loads that lose too much between warm bundles, made where an answer is found in which one does.

A row forbids what was found, and all that is worse: the wires of a load there and back, in bundles of no more squares
that give no less heat. The rise of a bundle falls with its size and grows with its heat, so nothing is forbidden that
the rule allows.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import ceil

from ortools.sat.python import cp_model

from allocator.problem import Supply
from tests.oracle.drops import Body, Losing, bodies, lose_too_much, over_v
from tests.oracle.lazily import PER_WATT, Bundles, Var, _last
from tests.oracle.parts import Back, Job, Out
from tests.oracle.wirings import volts_allowed

KEPT = 0.25
"""Share of what a load loses too much that it still does between the coolest bundles that a row speaks of."""
HALVINGS = 30


@dataclass(frozen=True)
class Pair:
    """What a load loses on, there and back, and the volts that it has left of those allowed when none warms it."""

    load: str
    losing: tuple[Losing, ...]
    left_v: float

    def over_v(self, warm: Mapping[int, float]) -> float:
        """By how much it loses too much."""
        return over_v(self.losing, self.left_v, warm)


def pair(out: Out, n: int, back: Back | None) -> Pair:
    """That of one of the loads of a circuit, and its return."""
    if back is None:
        return Pair(out.loads[n], out.losing[n], out.left_v[n])
    return Pair(out.loads[n], out.losing[n] + back.losing[0], out.left_v[n] - back.volts)


class WarmDrops:
    """Rows of a model on what loads lose between warm bundles."""

    def __init__(
        self, bundles: Bundles, outs: Sequence[tuple[Out, Var]], backs: Mapping[Job, Sequence[tuple[Back, Var]]]
    ):
        self.bundles, self.model, self.problem = bundles, bundles.model, bundles.problem
        self.outs, self.backs = outs, backs

    def forbid(self, solver: cp_model.CpSolver) -> bool:
        """Rows against every load of an answer that loses too much; whether there was any."""
        found = self.bodies(solver)
        warm = {e: body.middle_c for e, body in found.items()}
        lost = [(own, own.over_v(warm)) for own in self.taken(solver)]
        if not lose_too_much(over for _, over in lost):
            return False
        for own, over in lost:
            if over > 0.0:
                self.keep(own, found, warm, solver)
        return True

    def lost(self, solver: cp_model.CpSolver) -> dict[str, tuple[float, float]]:
        """By load that bundles warm: what it loses in an answer when none warms it, and when they do."""
        warm, found = {e: body.middle_c for e, body in self.bodies(solver).items()}, {}
        for own in self.taken(solver):
            load = self.problem.load[own.load]
            cold = volts_allowed(self.problem, load, fed=load.supply is not Supply.DIRECT) - own.left_v
            more = sum(one.more_v(warm) for one in own.losing)
            if more > 0.0:
                found[own.load] = (cold, cold + more)
        return found

    def bodies(self, solver: cp_model.CpSolver) -> dict[int, Body]:
        """The bundles of an answer."""
        return bodies(self.problem, self.bundles.lying(solver).values())

    def taken(self, solver: cp_model.CpSolver) -> Iterator[Pair]:
        """Each load of an answer with the wires that it has."""
        for out, taken in self.outs:
            if solver.value(taken):
                for n in range(len(out.loads)):
                    own = self.backs[out.jobs[n]] if out.jobs else ()
                    (back,) = [back for back, v in own if solver.value(v)] if own else (None,)
                    yield pair(out, n, back)

    def keep(self, own: Pair, found: Mapping[int, Body], warm: Mapping[int, float], solver: cp_model.CpSolver) -> None:
        """No load has wires that lose too much between bundles as warm as those that are too warm for this one."""
        cooler = cooled(own, found, warm)
        as_warm = [
            self.at_least(e, found[e], warm_c, (warm_c + warm[e]) / 2, solver).negated() for e, warm_c in cooler.items()
        ]
        for out, taken in self.outs:
            for n in range(len(out.loads)):
                if not out.jobs:
                    if pair(out, n, None).over_v(cooler) > 0.0:
                        self.model.add_bool_or([taken.negated(), *as_warm])
                    continue
                each = self.backs[out.jobs[n]]
                good = [v for back, v in each if pair(out, n, back).over_v(cooler) <= 0.0]
                if len(good) < len(each):
                    self.model.add_bool_or([*good, taken.negated(), *as_warm])

    def at_least(self, e: int, body: Body, warm_c: float, between_c: float, solver: cp_model.CpSolver) -> Var:
        """A variable that is 1 where a bundle is so warm by being no larger than some size, with heat for that."""
        bundles, most = self.bundles, _last(body.squares, 4 * body.squares, lambda s: body.of_size_c(s) >= between_c)
        warm = self.model.new_bool_var("")
        _, no_more = bundles.within(e, 0, most)
        when = [warm.negated(), no_more, *bundles.bundled(e, beside=body.beside)]
        heat = bundles.given_by_wires(body.place, e, body.condition)
        for n, line in bundles.lying(solver).items():
            own = bundles.takers[n]
            if own.slot is not None and line.inside and e in line.segments:
                heat += bundles.given_by_feed(body.place, own.slot, body.condition, line, solver)
                when.append(bundles.any_of([own]))
        least = ceil(PER_WATT * body.heat_for_w_m(most, warm_c))
        self.model.add(heat <= least - 1).only_enforce_if(when)
        return warm


def cooled(own: Pair, found: Mapping[int, Body], warm: Mapping[int, float]) -> dict[int, float]:
    """The coolest bundles by one share of their rise, of those that count, between which it still loses too much."""
    kept = {e: warm[e] for one in own.losing for e in one.segments if e in warm}
    least = KEPT * own.over_v(warm)

    def at(share: float) -> dict[int, float]:
        return {e: found[e].place.ambient_c + share * (c - found[e].place.ambient_c) for e, c in kept.items()}

    low, high = 0.0, 1.0
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (low, middle) if own.over_v(at(middle)) >= least else (middle, high)
    cooler = at(high)
    for e in list(cooler):
        rest = {other: c for other, c in cooler.items() if other != e}
        if own.over_v(rest) >= least:
            cooler = rest
    return cooler
