"""A plan: the wires of one circuit, what they cost and what they take of what is shared."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import inf

from allocator.options.conductor_option import ConductorOption, Crossing
from allocator.options.jobs import Job
from allocator.options.lazy_rows import LazyRows
from allocator.options.pruning import PruningBound
from allocator.options.refusals import Refusal, Why
from allocator.options.slots import Slot
from allocator.problem import Load, Problem

ROUNDING_G = 1e-6
"""Grams by which rounding may part two weights that are the same."""


@dataclass(frozen=True)
class WiringPlan:
    """The wires of a circuit, its splices as (place, count) and their price, and the drop of its worst load in V.

    ``guarded`` are the load groups of functions that a bulkhead must not take away, ``too_warm`` the numbers of the
    sets of warm bundles between which a load of it would lose more than it may.
    """

    conductors: tuple[ConductorOption, ...]
    splices: tuple[tuple[str, int], ...]
    splice_g: float
    drop_v: float
    guarded: frozenset[int] = frozenset()
    too_warm: frozenset[int] = frozenset()

    @cached_property
    def copper_g(self) -> float:
        """Grams of copper of all wires."""
        return round(sum(c.all_copper_g for c in self.conductors), 3)

    @property
    def price_g(self) -> float:
        """Copper and what the splices are worth."""
        return self.copper_g + self.splice_g

    @cached_property
    def crossings(self) -> tuple[Crossing, ...]:
        """Every contact taken, once per wire, in a fixed order: which wire takes which does not matter."""
        taken = (x for c in self.conductors for x in c.crossings * c.count)
        return tuple(sorted(taken, key=lambda x: (x.bulkhead, sorted(x.accepted))))

    @cached_property
    def cut_off(self) -> dict[tuple[str, int], int]:
        """By (bulkhead, guarded group), how many loads of the group have their current pass the bulkhead."""
        by_role: dict[tuple[str, int], Counter[str]] = {}
        for conductor in self.conductors:
            for name in {crossing.bulkhead for crossing in conductor.crossings}:
                for group, count in conductor.members:
                    if group in self.guarded:
                        roles = by_role.setdefault((name, group), Counter())
                        several = conductor.role in ("branch", "return")
                        roles[conductor.role] = roles[conductor.role] + count if several else count
        # a load is lost once, by whichever of its wires passes there
        return {key: max(roles.values()) for key, roles in by_role.items()}

    @cached_property
    def warmth(self) -> Counter[tuple[int, tuple[object, ...]]]:
        """What lies in each bundle with lazy rows: (segment, what tells a wire apart there), and how many."""
        return Counter((e, c.warmth) for c in self.conductors for e in c.bundles * c.count)

    @cached_property
    def side(self) -> frozenset[tuple[int, int | None]]:
        """Where something of it lies beside what is counted, and how many cables that bears there."""
        return frozenset((e, c.at_most) for c in self.conductors for e in c.side)

    @cached_property
    def footprint(self) -> object:
        """What it takes of what is shared (contacts, bundles), and what a bulkhead takes away with it."""
        lost = tuple(sorted(self.cut_off.items()))
        return (self.crossings, self.side, frozenset(self.warmth.items()), lost, self.too_warm)

    @cached_property
    def key(self) -> object:
        """What makes two plans the same."""
        return tuple(
            (c.role, c.wire.size, c.wire.insulation_c, c.route.places, c.length_m, c.count, c.crossings)
            for c in self.conductors
        )

    def seen(self, lazy: LazyRows, own: LazyRows) -> object:
        """What it takes of what is shared with no more rows than ``lazy``; ``own`` is what it was made for."""
        lost = tuple(sorted(self.cut_off.items()))
        if not lazy:
            return (self.crossings, lost)
        wires = frozenset(item for item in self.warmth.items() if item[0][0] in lazy.bundles)
        side = frozenset(item for item in self.side if item[0] in lazy.segments)
        too_warm = frozenset(n for n in self.too_warm if own.warm[n] in lazy.warm)
        return (self.crossings, side, wires, lost, too_warm)

    def no_harder_than(self, other: WiringPlan) -> bool:
        """Whether this plan takes no contact and adds no wire to a bundle that ``other`` does not, nor loses more.

        That a wire which gives little heat may cool a bundle by its surface is left aside: none is laid for that.
        """
        loses_no_more = all(count <= other.cut_off.get(key, 0) for key, count in self.cut_off.items())
        within = self.side <= other.side and self.warmth <= other.warmth and self.too_warm <= other.too_warm
        return loses_no_more and within and self._contacts_within(other)

    def _contacts_within(self, other: WiringPlan) -> bool:
        left = list(other.crossings)
        for own in self.crossings:
            match = next((x for x in left if x.bulkhead == own.bulkhead and x.accepted <= own.accepted), None)
            if match is None:
                return False
            left.remove(match)
        return True


def cheapest_by_footprint(found: list[WiringPlan]) -> list[WiringPlan]:
    """Of plans that take the same of what is shared, the one of least copper."""
    best: dict[object, WiringPlan] = {}
    for plan in found:
        held = best.get(plan.footprint)
        if held is None or plan.copper_g < held.copper_g:
            best[plan.footprint] = plan
    return list(best.values())


def unpruned(found: Iterable[WiringPlan], prunings: Sequence[PruningBound], lazy: LazyRows) -> list[WiringPlan]:
    """Plans that no bound prunes: none too heavy beside the lightest that is the same to the lazy rows of that bound.

    ``lazy`` is what the plans were made for.
    """
    plans = list(found)
    for pruning in prunings:
        least: dict[object, float] = {}
        seen = [plan.seen(pruning.lazy, lazy) for plan in plans]
        for plan, own in zip(plans, seen, strict=True):
            least[own] = min(least.get(own, inf), plan.price_g)
        plans = [
            plan
            for plan, own in zip(plans, seen, strict=True)
            if plan.price_g <= least[own] + pruning.more_g + ROUNDING_G
        ]
    return plans


def drop_limit_v(problem: Problem, load: Load, *, fed: bool = True) -> float:
    """Most volts that may be lost between unit (or, with ``fed`` False, the source) and load, there and back."""
    margins = problem.margins
    share = margins.branch_drop if load.max_drop is None else load.max_drop
    limit = share * problem.running_v
    if load.min_volts_v is not None:
        before = margins.feed_drop * problem.running_v if fed else 0.0
        limit = min(limit, problem.lowest_v - before - load.min_volts_v)
    return limit


def refuse(
    loads: tuple[str, ...],
    slot: Slot,
    job: Job,
    why: Why,
    *names: str,
    asked: float | None = None,
    limit: float | None = None,
    unit: str = "",
) -> Refusal:
    """Why a slot cannot feed loads by a job: what was asked, its limit, and the unit of both.

    Parameters
    ----------
    loads
        Names of the loads.
    slot
        The unit at its site.
    job
        What the outputs have to do: current, trip, how many.
    why
        The code of the reason.
    *names
        What the sentence of that code speaks of.
    asked
        What is asked; None where it is not a quantity.
    limit
        What there is.
    unit
        Unit of both.
    """
    return Refusal(loads, slot.index, job.slot_class, why, names, asked, limit, unit)
