"""Wires of one load on its own: outgoing and return, or the two of a bridge pair."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import combinations_with_replacement, product
from math import inf

from allocator.options.conductor_listing import conductor_options, outgoing_ways, return_ways
from allocator.options.conductor_option import ConductorOption, in_range
from allocator.options.jobs import SLACK, Job
from allocator.options.lazy_rows import LazyRows
from allocator.options.pruning import PruningBound
from allocator.options.refusals import Refusal, Why
from allocator.options.slots import Slot
from allocator.options.warmed_wires import Lost, judged, warmed_by
from allocator.options.wiring_plan import (
    ROUNDING_G,
    WiringPlan,
    cheapest_by_footprint,
    drop_limit_v,
    refuse,
    unpruned,
)
from allocator.options.workbench import Workbench
from allocator.problem import Load


def single_plans(
    bench: Workbench, members: tuple[tuple[int, int], ...], load: Load, slot: Slot, job: Job
) -> list[WiringPlan] | Refusal:
    """Plans of one load: the cheapest pair of outgoing and return wire for each pair of contact sets.

    Parameters
    ----------
    bench
        The problem with all that its options are listed from.
    members
        How many loads of which group: pairs of group and count.
    load
        The load.
    slot
        The unit at its site.
    job
        What the outputs have to do: current, trip, how many.
    """
    problem = bench.problem
    ways = outgoing_ways(bench, slot.site, load)
    if not ways:
        return refuse((load.name,), slot, job, Why.NO_ROUTE)
    carrying = list(conductor_options(bench, ways, "out", job.outgoing, job.outputs, members, even=job.share > 1))
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
        back = list(conductor_options(bench, ways_back, "return", duty, 1, members))
        if not back:
            return refuse((load.name,), slot, job, Why.NO_RETURN, asked=duty.trip_a, unit="A")
        least = min(o.drop_v for o in out) + min(r.drop_v for r in back)
        best = cheapest_pairs(out, back, limit, bench.prunings, warmed_by(bench))
        found = [WiringPlan((o, r), (), 0.0, o.drop_v + r.drop_v, bench.guarded) for o, r in best]
    own = [(members[0][0], load)]
    kept = [judged(problem, plan, own, bench.lazy) for plan in found if plan.drop_v <= limit * SLACK]
    found = cheapest_by_footprint(kept)
    found = unpruned(found, bench.prunings, bench.lazy)
    return found or refuse((load.name,), slot, job, Why.DROP, asked=least, limit=limit, unit="V")


def _bridge_pairs(bench: Workbench, out: list[ConductorOption]) -> Iterator[WiringPlan]:
    """The two wires of a bridge pair, of one size and along one way; each may take contacts of its own."""
    alike: dict[object, list[ConductorOption]] = {}
    for wire in out:
        alike.setdefault((wire.wire.size, wire.route.places, wire.length_m), []).append(wire)
    for group in alike.values():
        for one, other in combinations_with_replacement(group, 2):
            wires = (one,) if one is other else (replace(one, count=1), replace(other, count=1))
            yield WiringPlan(wires, (), 0.0, one.drop_v + other.drop_v, bench.guarded)


def _no_wire(load: Load, slot: Slot, job: Job, carrying: list[ConductorOption]) -> Refusal:
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
    out: list[ConductorOption],
    back: list[ConductorOption],
    limit_v: float,
    prunings: Sequence[PruningBound] = (),
    lost: Lost | None = None,
) -> list[tuple[ConductorOption, ConductorOption]]:
    """The outgoing and return wire of least copper within the drop, for each pair of footprints.

    Parameters
    ----------
    out, back
        Outgoing and return wires.
    limit_v
        Drop that both may have together, in V.
    prunings
        What is known of good layouts: pairs too heavy for any of them are left out.
    lost
        What a wire loses between the warmest bundles: with it heavier pairs are listed too, up to those that keep the
        drop there. None: as if alone.
    """
    heavy = _heavy(out, back, limit_v, prunings)
    outs_by, backs_by = _by(out, lambda wire: wire.footprint), _by(back, lambda wire: wire.footprint)
    found = list(_cheapest(outs_by, backs_by, limit_v, heavy))
    if lost is not None:
        for outs, backs in product(outs_by, backs_by):
            found += _warm_pairs(outs, backs, limit_v, heavy, lost)
    return found


Heavy = Callable[[ConductorOption, ConductorOption], bool]
"""Whether a pair is in no layout better than what is known."""


def _none_is_heavy(_: ConductorOption, __: ConductorOption) -> bool:
    return False


def _heavy(
    out: list[ConductorOption], back: list[ConductorOption], limit_v: float, prunings: Sequence[PruningBound]
) -> Heavy:
    """By the bounds that know of no warm bundle: what they ask of a wire does not depend on the other one."""
    known: list[tuple[dict[int, int], dict[int, int], dict[tuple[int, int], float]]] = []
    for pruning in prunings:
        if not pruning.lazy.warm:
            (outs, of_out), (backs, of_back) = (_alike_to(pruning.lazy, own) for own in (out, back))
            pairs = _cheapest(outs, backs, limit_v, _none_is_heavy)
            most = {
                (of_out[id(o)], of_back[id(r)]): o.all_copper_g + r.all_copper_g + pruning.more_g + ROUNDING_G
                for o, r in pairs
            }
            known.append((of_out, of_back, most))

    def heavy(o: ConductorOption, r: ConductorOption) -> bool:
        grams = o.all_copper_g + r.all_copper_g
        return any(grams > most.get((of_out[id(o)], of_back[id(r)]), inf) for of_out, of_back, most in known)

    return heavy


def _alike_to(lazy: LazyRows, wires: list[ConductorOption]) -> tuple[list[list[ConductorOption]], dict[int, int]]:
    """Wires that are the same to the lazy rows, and the number of its group for each wire."""
    groups = _by(wires, lambda wire: wire.seen(lazy))
    return groups, {id(wire): n for n, group in enumerate(groups) for wire in group}


def _warm_pairs(
    outs: list[ConductorOption], backs: list[ConductorOption], limit_v: float, heavy: Heavy, lost: Lost
) -> Iterator[tuple[ConductorOption, ConductorOption]]:
    """Pairs within the drop as if alone, each outgoing wire up to the return wire that keeps it when warmed too."""
    for o in outs:
        for r in backs:
            if o.drop_v + r.drop_v > limit_v * SLACK or heavy(o, r):
                continue
            yield o, r
            if lost(o) + lost(r) <= limit_v * SLACK:
                break


def _cheapest(
    outs_by: list[list[ConductorOption]],
    backs_by: list[list[ConductorOption]],
    limit_v: float,
    heavy: Heavy,
) -> Iterator[tuple[ConductorOption, ConductorOption]]:
    """The lightest pair of each group of outgoing and each group of return wires, without groups that are too heavy."""
    for outs, backs in product(outs_by, backs_by):
        if heavy(outs[0], backs[0]):
            continue
        best: tuple[tuple[float, float, float], ConductorOption, ConductorOption] | None = None
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


def _by(wires: list[ConductorOption], what: Callable[[ConductorOption], object]) -> list[list[ConductorOption]]:
    """Wires that are alike in something, the lightest first."""
    groups: dict[object, list[ConductorOption]] = {}
    for wire in wires:
        groups.setdefault(what(wire), []).append(wire)
    for group in groups.values():
        group.sort(key=lambda w: (w.all_copper_g, w.wire.area_mm2, w.route.places))
    return list(groups.values())
