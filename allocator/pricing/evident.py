"""What rules out every layout and is plain before anything is priced: sums and counts, told in a second.

Each is a proof. A fact that might be wrong is none: what is reckoned here leaves out all that only pricing knows, and
always in favour of a layout.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from math import ceil

from allocator.clock import at_least, heed_clock
from allocator.pricing.circuits import Alike
from allocator.pricing.direct import fuse_for
from allocator.pricing.feeds import largest_capacity_ma
from allocator.pricing.jobs import job_for
from allocator.pricing.misses import unfed
from allocator.pricing.pricing import Pricing, unpriced, workbench
from allocator.pricing.refusals import Refusal
from allocator.pricing.standing import standing_faults
from allocator.problem import Fit, Problem, Supply, Unit

EVIDENT_S = 2.0
"""Seconds that this may take, however little is left."""


def evident(problem: Problem) -> Pricing:
    """A problem before it is priced; its ``faults`` say what rules out every layout, none where nothing is evident."""
    with at_least(EVIDENT_S):
        pricing = unpriced(problem)
        direct = [fuse_for(problem, load) for load in problem.loads if load.supply is Supply.DIRECT]
        bench = workbench(problem, pricing.network, pricing.alike)
        capacities = [largest_capacity_ma(bench, slot) for slot in pricing.slots]
        units = tuple(of_units(pricing, capacities))
        faults = (
            *standing_faults(problem, pricing.network),
            *(fault for fault in direct if isinstance(fault, str)),
            *_too_large(pricing),
            *(units or _together(pricing, capacities)),
        )
        return replace(pricing, faults=faults)


def of_units(pricing: Pricing, capacities_ma: Sequence[int]) -> Iterator[str]:
    """Sentences on units that can be mounted nowhere, and on ratings that are too small together.

    ``capacities_ma`` are those of the largest feed of each slot.
    """
    unmounted = list(_unmounted(pricing, capacities_ma))
    yield from unmounted
    if unmounted:
        return
    if pricing.slots:
        rated = {slot.index: slot.limit_ma - slot.spare_current_ma for slot in pricing.slots}
        limit = _sum_of_units(pricing, capacities_ma, rated)
        yield from _short_of_current(pricing, limit, "all units together may carry after unit_use and reserve")
    elif pricing.alike:
        yield "No unit can be mounted at any of its sites."


def _together(pricing: Pricing, capacities_ma: Sequence[int]) -> Iterator[str]:
    """Sentences on what is lacking in all: room at sites, feeds, outputs. By how much where, a search can tell."""
    if not pricing.slots:
        return
    yield from _short_of_room(pricing, capacities_ma)
    fed = {s.index: min(s.limit_ma, capacities_ma[s.index]) - s.spare_current_ma for s in pricing.slots}
    limit = _sum_of_units(pricing, capacities_ma, fed)
    yield from _short_of_current(pricing, limit, "the largest feeds of all units together may carry")
    yield from _short_of_outputs(pricing, capacities_ma)


def _too_large(pricing: Pricing) -> Iterator[str]:
    """Loads that no output takes at all, whatever their wires. Those that may share are left to pricing."""
    refused: list[Refusal] = []
    hungry: list[Alike] = []
    # slots of one kind with the same ratings say the same
    places = {(slot.kind, slot.classes): slot for slot in pricing.slots}.values()
    classes = [(slot, number) for slot in places for number in range(len(slot.classes))]
    for group in pricing.alike:
        heed_clock()
        if group.sample.share is not None and not group.sample.bridge:
            continue
        own: list[Refusal] = []
        for slot, number in classes:
            job = job_for(pricing.problem, [(group.sample, 1)], slot, number)
            if not isinstance(job, Refusal):
                break
            own.append(job)
        else:
            hungry.append(group)
            refused += own
    return unfed(hungry, pricing.slots, refused) if pricing.slots else iter(())


def _unmounted(pricing: Pricing, capacities_ma: Sequence[int]) -> Iterator[str]:
    """Units that must be fitted and cannot be, at any of their sites."""
    for number, kind in enumerate(pricing.kinds):
        slots = [slot for slot in pricing.slots if slot.kind == number]
        names = ", ".join(f"'{unit.name}'" for unit in kind.units)
        if kind.sample.fit is not Fit.ALWAYS:
            continue
        if not slots:
            sites = "; ".join(_unfit(pricing.problem, kind.sample, site) for site in kind.sample.sites)
            yield f"Unit {names} can be mounted at none of its sites: {sites}."
        elif not any(capacities_ma[slot.index] for slot in slots):
            yield f"No feed cable of the table carries what unit {names} needs to any of its sites."


def _unfit(problem: Problem, unit: Unit, site: str) -> str:
    """Why a unit cannot sit at a site."""
    place, unit_type = problem.place[site], problem.unit_type[unit.type]
    if place.units < 1:
        return f"'{site}' has room for none"
    if place.wet and not unit_type.sealed:
        return f"'{site}' is wet, and type '{unit_type.name}' is not sealed"
    ambient, hottest = problem.place_ambient_c(site), max((t for t, _ in unit_type.hot), default=0.0)
    return f"'{site}' has {ambient:g} degC, and the ratings of type '{unit_type.name}' end at {hottest:g} degC"


def _short_of_room(pricing: Pricing, capacities_ma: Sequence[int]) -> Iterator[str]:
    """More units that must be fitted than their sites have room for."""
    asked = sum(kind.always for kind in pricing.kinds)
    most = _mounted_at_most(pricing, capacities_ma, [kind.always for kind in pricing.kinds])
    if most < asked:
        yield f"{asked} units must be fitted, and their sites have room for no more than {most} of them."


def _mounted_at_most(pricing: Pricing, capacities_ma: Sequence[int], counts: Sequence[int]) -> int:
    """How many units can be mounted at once, so many of each kind: a matching by augmenting ways (C. Berge 1957)."""
    sites: list[set[str]] = [set() for _ in pricing.kinds]
    for slot in pricing.slots:
        if capacities_ma[slot.index]:
            sites[slot.kind].add(slot.site)
    there: dict[str, list[int]] = {}

    def mounted(kind: int, passed: set[str]) -> bool:
        for site in sorted(sites[kind] - passed):
            passed.add(site)
            at = there.setdefault(site, [])
            if len(at) < pricing.problem.place[site].units:
                at.append(kind)
                return True
            for n, other in enumerate(at):
                if mounted(other, passed):
                    at[n] = kind
                    return True
        return False

    return sum(mounted(kind, set()) for kind, count in enumerate(counts) for _ in range(count))


def _sum_of_units(pricing: Pricing, capacities_ma: Sequence[int], of_slot: Mapping[int, int]) -> int:
    """The most of something that all units have together, each at its best slot and as many as can be mounted."""
    best = [0] * len(pricing.kinds)
    for slot in pricing.slots:
        best[slot.kind] = max(best[slot.kind], of_slot[slot.index])
    every = sorted((most for most, kind in zip(best, pricing.kinds, strict=True) for _ in kind.units), reverse=True)
    return sum(every[: _mounted_at_most(pricing, capacities_ma, [len(kind.units) for kind in pricing.kinds])])


def _short_of_current(pricing: Pricing, limit_ma: int, what: str) -> Iterator[str]:
    """Conditions whose loads draw more than so much."""
    for index, condition in enumerate(pricing.problem.conditions):
        drawn = sum(len(group.loads) * pricing.heating_ma[group.index][index] for group in pricing.alike)
        if drawn > limit_ma:
            yield (
                f"In condition '{condition}' the loads draw {drawn / 1000:.1f} A, "
                f"{(drawn - limit_ma) / 1000:.1f} A over what {what}."
            )


def _short_of_outputs(pricing: Pricing, capacities_ma: Sequence[int]) -> Iterator[str]:
    """Fewer outputs than the loads take at the least."""
    there = _sum_of_units(pricing, capacities_ma, {slot.index: slot.outputs - slot.spare for slot in pricing.slots})
    most_a = max((c.rating_a for slot in pricing.slots for c in slot.classes), default=0.0)
    needed = _outputs_at_least(pricing, most_a * pricing.problem.margins.output_use)
    if needed > there:
        yield f"The loads take {needed} outputs at the least, and all units together have {there} besides spare ones."


def _outputs_at_least(pricing: Pricing, most_a: float) -> int:
    """Outputs that the loads take at the least, where none carries more than so much."""
    sharing: dict[str, float] = {}
    alone = 0
    for group in pricing.alike:
        load, count = group.sample, len(group.loads)
        if load.bridge:
            alone += 2 * count
        elif load.share is not None:
            sharing[load.share] = sharing.get(load.share, 0.0) + count * load.full_current_a
        else:
            alone += count * _least_number(load.full_current_a, most_a)
    return alone + sum(_least_number(current_a, most_a) for current_a in sharing.values())


def _least_number(current_a: float, most_a: float) -> int:
    return max(1, ceil(current_a / most_a - 1e-6)) if most_a > 0.0 else 1
