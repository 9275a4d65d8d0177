"""Wires of one load on its own: outgoing and return, or the two of a bridge pair."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from itertools import combinations_with_replacement, product
from math import inf

from allocator.pricing.bench import Workbench
from allocator.pricing.conductors import Conductor, conductors, in_range, outgoing_ways, return_ways
from allocator.pricing.jobs import SLACK, Job
from allocator.pricing.plan import Plan, cheapest_by_footprint, drop_limit_v, not_much_heavier, refuse
from allocator.pricing.refusals import Refusal, Why
from allocator.pricing.slots import Slot
from allocator.problem import Load


def single_plans(
    bench: Workbench, members: tuple[tuple[int, int], ...], load: Load, slot: Slot, job: Job
) -> list[Plan] | Refusal:
    """Plans of one load: the cheapest pair of outgoing and return wire for each pair of contact sets."""
    problem = bench.problem
    ways = outgoing_ways(bench, slot.site, load)
    if not ways:
        return refuse((load.name,), slot, job, Why.NO_ROUTE)
    carrying = list(conductors(bench, ways, "out", job.outgoing, job.outputs, members, even=job.share > 1))
    out = [c for c in carrying if in_range(c.wire.area_mm2, job.wire_mm2)]
    if not out:
        return _no_wire(load, slot, job, carrying)
    limit = drop_limit_v(problem, load)
    if job.bridge:
        found = list(_bridge_pairs(bench, out))
        least = min(plan.drop_v for plan in found)
    else:
        duty = job.returning(load)
        ways_back = return_ways(bench, load, slot.source.place)
        back = list(conductors(bench, ways_back, "return", duty, 1, members))
        if not back:
            return refuse((load.name,), slot, job, Why.NO_RETURN, asked=duty.trip_a, unit="A")
        least = min(o.drop_v for o in out) + min(r.drop_v for r in back)
        best = cheapest_pairs(out, back, limit, bench.most_more_g)
        found = [Plan((o, r), (), 0.0, o.drop_v + r.drop_v, bench.watched) for o, r in best]
    found = cheapest_by_footprint([plan for plan in found if plan.drop_v <= limit * SLACK])
    found = not_much_heavier(found, bench.most_more_g)
    return found or refuse((load.name,), slot, job, Why.DROP, asked=least, limit=limit, unit="V")


def _bridge_pairs(bench: Workbench, out: list[Conductor]) -> Iterator[Plan]:
    """The two wires of a bridge pair, of one size and along one way; each may take contacts of its own."""
    alike: dict[object, list[Conductor]] = {}
    for wire in out:
        alike.setdefault((wire.wire.size, wire.route.places, wire.length_m), []).append(wire)
    for group in alike.values():
        for one, other in combinations_with_replacement(group, 2):
            wires = (one,) if one is other else (replace(one, count=1), replace(other, count=1))
            yield Plan(wires, (), 0.0, one.drop_v + other.drop_v, bench.watched)


def _no_wire(load: Load, slot: Slot, job: Job, carrying: list[Conductor]) -> Refusal:
    if carrying:
        least = min(c.wire.area_mm2 for c in carrying)
        return refuse(
            (load.name,),
            slot,
            job,
            Why.TERMINAL,
            asked=least,
            limit=job.wire_mm2[1],
            unit="mm2",
        )
    return refuse((load.name,), slot, job, Why.NO_WIRE, asked=job.trip_a, unit="A")


def cheapest_pairs(
    out: list[Conductor], back: list[Conductor], limit_v: float, most_more_g: float = inf
) -> list[tuple[Conductor, Conductor]]:
    """The outgoing and return wire of least copper within the drop, for each pair of footprints.

    Of pairs that take the same contacts none that weighs more than ``most_more_g`` above the lightest.
    """
    least: dict[object, float] = {
        (o.crossings, r.crossings): o.all_copper_g + r.all_copper_g
        for o, r in _cheapest(_by(out, lambda wire: wire.crossings), _by(back, lambda wire: wire.crossings), limit_v)
    }
    outs_by, backs_by = _by(out, lambda wire: wire.footprint), _by(back, lambda wire: wire.footprint)
    return list(_cheapest(outs_by, backs_by, limit_v, least, most_more_g))


def _cheapest(
    outs_by: list[list[Conductor]],
    backs_by: list[list[Conductor]],
    limit_v: float,
    least_g: Mapping[object, float] | None = None,
    most_more_g: float = inf,
) -> Iterator[tuple[Conductor, Conductor]]:
    """The lightest pair of each group of outgoing and each group of return wires; too heavy groups left out."""
    for outs, backs in product(outs_by, backs_by):
        lightest = outs[0].all_copper_g + backs[0].all_copper_g
        if least_g is not None:
            most = least_g.get((outs[0].crossings, backs[0].crossings), inf) + most_more_g
            if lightest > most + 1e-6:
                continue
        best: tuple[tuple[float, float, float], Conductor, Conductor] | None = None
        for o in outs:
            if best is not None and round(o.all_copper_g + backs[0].all_copper_g, 3) > best[0][0]:
                break
            r = next((r for r in backs if r.drop_v <= limit_v * SLACK - o.drop_v), None)
            if r is None:
                continue
            rank = (round(o.all_copper_g + r.all_copper_g, 3), o.wire.area_mm2, r.wire.area_mm2)
            if best is None or rank < best[0]:
                best = (rank, o, r)
        if best is not None:
            yield best[1], best[2]


def _by(wires: list[Conductor], what: Callable[[Conductor], object]) -> list[list[Conductor]]:
    """Wires that are alike in something, the lightest first."""
    groups: dict[object, list[Conductor]] = {}
    for wire in wires:
        groups.setdefault(what(wire), []).append(wire)
    for group in groups.values():
        group.sort(key=lambda w: (w.all_copper_g, w.wire.area_mm2, w.route.places))
    return list(groups.values())
