"""What rules out every layout and is plain before any option is listed: totals and counts, told in a second.

Each is a proof, so nothing doubtful counts: what only the options show is left out, always in favour of a layout.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from math import ceil

from allocator.clock import at_least, heed_clock
from allocator.options.direct_options import fuse_for
from allocator.options.faults import Evident, Fault
from allocator.options.feed_options import largest_capacity_ma
from allocator.options.jobs import job_for
from allocator.options.load_groups import LoadGroup
from allocator.options.nearest_refusals import nearest_misses
from allocator.options.option_list import OptionList, empty_option_list, workbench
from allocator.options.refusals import Refusal
from allocator.options.slots import Slot
from allocator.options.stud_faults import stud_faults
from allocator.problem import Fit, Problem, Supply, Unit

EVIDENT_S = 2.0
"""Seconds that this may take, however little is left."""


def with_evident_faults(problem: Problem) -> OptionList:
    """A problem before its options are listed; its ``faults`` say what rules out every layout, as far as evident."""
    with at_least(EVIDENT_S):
        option_list = empty_option_list(problem)
        direct = [fuse_for(problem, load) for load in problem.loads if load.supply is Supply.DIRECT]
        bench = workbench(problem, option_list.network, option_list.load_groups)
        capacities = [largest_capacity_ma(bench, slot) for slot in option_list.slots]
        units = tuple(of_units(option_list, capacities))
        faults = (
            *stud_faults(problem, option_list.network),
            *(fault for fault in direct if isinstance(fault, Fault)),
            *_too_large(option_list),
            *(units or _together(option_list, capacities)),
        )
        return replace(option_list, faults=faults)


def unfed(groups: Iterable[LoadGroup], slots: Sequence[Slot], refusals: Sequence[Refusal]) -> Iterator[Fault]:
    """Loads that no output can feed, with the nearest miss of each reason."""
    for group in groups:
        names = tuple(load.name for load in group.loads)
        yield Fault(Evident.UNFED, (names,), tuple(nearest_misses(group, slots, refusals)))


def of_units(option_list: OptionList, capacities_ma: Sequence[int]) -> Iterator[Fault]:
    """Units that can be mounted nowhere, and ratings that are too small together.

    ``capacities_ma`` are those of the largest feed of each slot.
    """
    unmounted = list(_unmounted(option_list, capacities_ma))
    yield from unmounted
    if unmounted:
        return
    if option_list.slots:
        rated = {slot.index: slot.limit_ma - slot.spare_current_ma for slot in option_list.slots}
        limit = _sum_of_units(option_list, capacities_ma, rated)
        yield from _short_of_current(option_list, limit, Evident.CURRENT_OF_UNITS)
    elif option_list.load_groups:
        yield Fault(Evident.NO_UNIT)


def _together(option_list: OptionList, capacities_ma: Sequence[int]) -> Iterator[Fault]:
    """What is lacking in total: room at sites, feeds, outputs. A search can tell where, and by how much."""
    if not option_list.slots:
        return
    yield from _short_of_room(option_list, capacities_ma)
    fed = {s.index: min(s.limit_ma, capacities_ma[s.index]) - s.spare_current_ma for s in option_list.slots}
    limit = _sum_of_units(option_list, capacities_ma, fed)
    yield from _short_of_current(option_list, limit, Evident.CURRENT_OF_FEEDS)
    yield from _short_of_outputs(option_list, capacities_ma)


def _too_large(option_list: OptionList) -> Iterator[Fault]:
    """Loads that no output takes at all, whatever their wires. Those that may share are left to the option list."""
    refused: list[Refusal] = []
    hungry: list[LoadGroup] = []
    # slots of one group with the same ratings give the same answer
    places = {(slot.unit_group, slot.classes): slot for slot in option_list.slots}.values()
    classes = [(slot, number) for slot in places for number in range(len(slot.classes))]
    for group in option_list.load_groups:
        heed_clock()
        if group.sample.share is not None and not group.sample.bridge:
            continue
        own: list[Refusal] = []
        for slot, number in classes:
            job = job_for(option_list.problem, [(group.sample, 1)], slot, number)
            if not isinstance(job, Refusal):
                break
            own.append(job)
        else:
            hungry.append(group)
            refused += own
    return unfed(hungry, option_list.slots, refused) if option_list.slots else iter(())


def _unmounted(option_list: OptionList, capacities_ma: Sequence[int]) -> Iterator[Fault]:
    """Units that must be fitted and cannot be, at any of their sites."""
    for number, unit_group in enumerate(option_list.unit_groups):
        slots = [slot for slot in option_list.slots if slot.unit_group == number]
        names = tuple(unit.name for unit in unit_group.units)
        if unit_group.sample.fit is not Fit.ALWAYS:
            continue
        if not slots:
            why = (_unfit(option_list.problem, unit_group.sample, site) for site in unit_group.sample.sites)
            yield Fault(Evident.UNIT, (names,), tuple(why))
        elif not any(capacities_ma[slot.index] for slot in slots):
            yield Fault(Evident.FEED, (names,))


def _unfit(problem: Problem, unit: Unit, site: str) -> Fault:
    """Why a unit cannot sit at a site."""
    place, unit_type = problem.place[site], problem.unit_type[unit.type]
    if place.units < 1:
        return Fault(Evident.SITE_FULL, (site,))
    if place.wet and not unit_type.sealed:
        return Fault(Evident.SITE_WET, (site, unit_type.name))
    ambient, hottest = problem.place_ambient_c(site), max((t for t, _ in unit_type.hot), default=0.0)
    return Fault(Evident.SITE_HOT, (site, ambient, unit_type.name, hottest))


def _short_of_room(option_list: OptionList, capacities_ma: Sequence[int]) -> Iterator[Fault]:
    """More units that must be fitted than their sites have room for."""
    asked = sum(unit_group.always for unit_group in option_list.unit_groups)
    most = _mounted_at_most(option_list, capacities_ma, [unit_group.always for unit_group in option_list.unit_groups])
    if most < asked:
        yield Fault(Evident.ROOM, (asked, most))


def _mounted_at_most(option_list: OptionList, capacities_ma: Sequence[int], counts: Sequence[int]) -> int:
    """How many units can be mounted at once, so many of each group: a matching by augmenting paths (C. Berge 1957)."""
    sites: list[set[str]] = [set() for _ in option_list.unit_groups]
    for slot in option_list.slots:
        if capacities_ma[slot.index]:
            sites[slot.unit_group].add(slot.site)
    there: dict[str, list[int]] = {}

    def mounted(unit_group: int, passed: set[str]) -> bool:
        for site in sorted(sites[unit_group] - passed):
            passed.add(site)
            at = there.setdefault(site, [])
            if len(at) < option_list.problem.place[site].units:
                at.append(unit_group)
                return True
            for n, other in enumerate(at):
                if mounted(other, passed):
                    at[n] = unit_group
                    return True
        return False

    return sum(mounted(unit_group, set()) for unit_group, count in enumerate(counts) for _ in range(count))


def _sum_of_units(option_list: OptionList, capacities_ma: Sequence[int], of_slot: Mapping[int, int]) -> int:
    """The most of something that all units have together, each at its best slot and as many as can be mounted."""
    best = [0] * len(option_list.unit_groups)
    for slot in option_list.slots:
        best[slot.unit_group] = max(best[slot.unit_group], of_slot[slot.index])
    every = sorted(
        (most for most, unit_group in zip(best, option_list.unit_groups, strict=True) for _ in unit_group.units),
        reverse=True,
    )
    return sum(
        every[
            : _mounted_at_most(
                option_list, capacities_ma, [len(unit_group.units) for unit_group in option_list.unit_groups]
            )
        ]
    )


def _short_of_current(option_list: OptionList, limit_ma: int, what: Evident) -> Iterator[Fault]:
    """Conditions whose loads draw more than so much."""
    for index, condition in enumerate(option_list.problem.conditions):
        drawn = sum(len(group.loads) * option_list.heating_ma[group.index][index] for group in option_list.load_groups)
        if drawn > limit_ma:
            yield Fault(what, (condition, drawn / 1000, (drawn - limit_ma) / 1000))


def _short_of_outputs(option_list: OptionList, capacities_ma: Sequence[int]) -> Iterator[Fault]:
    """Fewer outputs than the loads take at the least."""
    there = _sum_of_units(
        option_list, capacities_ma, {slot.index: slot.outputs - slot.spare for slot in option_list.slots}
    )
    most_a = max((c.rating_a for slot in option_list.slots for c in slot.classes), default=0.0)
    needed = _outputs_at_least(option_list, most_a * option_list.problem.margins.output_use)
    if needed > there:
        yield Fault(Evident.OUTPUTS, (needed, there))


def _outputs_at_least(option_list: OptionList, most_a: float) -> int:
    """Outputs that the loads take at the least, where none carries more than so much."""
    sharing: dict[str, float] = {}
    alone = 0
    for group in option_list.load_groups:
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
