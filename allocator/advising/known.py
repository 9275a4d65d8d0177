"""What can be said in plain words where no layout is possible: facts of which each alone rules one out."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.pricing import Alike, Pricing, Refusal, price
from allocator.problem import Fit, Problem

MISSES_SHOWN = 3


def what_is_known(problem: Problem) -> tuple[str, ...]:
    """Sentences on what stands in the way of any layout, the plainest first; empty if it is only the sum of things.

    Loads that nothing can feed come with the reasons of their nearest misses.
    """
    pricing = price(problem)
    return (*pricing.faults, *_unfed(pricing), *_unmounted(pricing), *_short_of_current(pricing))


def _unfed(pricing: Pricing) -> Iterator[str]:
    """Loads that stand in no option at all."""
    fed = {group for option in pricing.options for group, _ in option.candidate.members}
    for group in pricing.alike:
        if group.index not in fed:
            names = ", ".join(f"'{load.name}'" for load in group.loads)
            misses = "; ".join(_misses(pricing, group))
            yield f"No output can feed {names}: {misses or 'no unit can be mounted anywhere'}."


def _misses(pricing: Pricing, group: Alike) -> Iterator[str]:
    """The nearest miss of each reason, nearest first."""
    nearest: dict[str, Refusal] = {}
    for refusal in pricing.refusals:
        if refusal.loads == (group.sample.name,):
            best = nearest.get(refusal.reason)
            if best is None or _distance(refusal) < _distance(best):
                nearest[refusal.reason] = refusal
    for refusal in sorted(nearest.values(), key=_distance)[:MISSES_SHOWN]:
        slot = pricing.slots[refusal.slot]
        where = f"{slot.name}, class {slot.classes[refusal.slot_class].output.name}"
        yield f"{refusal.reason}{_amounts(refusal)} ({where})"


def _distance(refusal: Refusal) -> float:
    """By what share the limit is passed; without figures it is last."""
    if refusal.asked is None or refusal.limit is None:
        return float("inf")
    return abs(refusal.asked - refusal.limit) / max(abs(refusal.limit), 1e-9)


def _amounts(refusal: Refusal) -> str:
    if refusal.asked is None:
        return ""
    limit = "" if refusal.limit is None else f" against {refusal.limit:.4g} {refusal.unit}"
    return f", {refusal.asked:.4g} {refusal.unit}{limit}"


def _unmounted(pricing: Pricing) -> Iterator[str]:
    """Units that must be fitted and cannot be, at any of their sites."""
    fed = {feed.slot for feed in pricing.feeds}
    for number, kind in enumerate(pricing.kinds):
        slots = [slot for slot in pricing.slots if slot.kind == number]
        names = ", ".join(f"'{unit.name}'" for unit in kind.units)
        if kind.sample.fit is not Fit.ALWAYS:
            continue
        if not slots:
            yield f"Unit {names} can be mounted at none of its sites: wet, or hotter than its ratings reach."
        elif not any(slot.index in fed for slot in slots):
            yield f"No feed cable of the table carries what unit {names} needs to any of its sites."


def _short_of_current(pricing: Pricing) -> Iterator[str]:
    """Conditions whose loads draw more than all units together may carry, each at its coolest site."""
    limit = 0
    for number, kind in enumerate(pricing.kinds):
        best = [slot.limit_ma - slot.spare_current_ma for slot in pricing.slots if slot.kind == number]
        limit += max(best, default=0) * len(kind.units)
    for index, condition in enumerate(pricing.problem.conditions):
        drawn = sum(len(group.loads) * pricing.heating_ma[group.index][index] for group in pricing.alike)
        if drawn > limit:
            yield (
                f"In condition '{condition}' the loads draw {drawn / 1000:.1f} A, "
                f"{(drawn - limit) / 1000:.1f} A over what all units together may carry after unit_use and reserve."
            )
