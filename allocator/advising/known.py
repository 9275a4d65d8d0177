"""What can be said in plain words where no layout is possible: facts of which each alone rules one out."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from allocator.pricing import Alike, Pricing, Refusal, SlotClass
from allocator.problem import Fit, Problem, Unit
from allocator.wiring import trip_settings

MISSES_SHOWN = 3


def what_is_known(pricing: Pricing) -> tuple[str, ...]:
    """Sentences on what stands in the way of any layout, the plainest first; empty if it is only the sum of things.

    Loads that nothing can feed come with the reasons of their nearest misses.
    """
    unmounted = tuple(_unmounted(pricing))
    if not pricing.slots:
        return (*pricing.faults, *unmounted, *(() if unmounted else ("No unit can be mounted at any of its sites.",)))
    return (*pricing.faults, *unmounted, *_unfed(pricing), *_short_of_current(pricing))


def _unfed(pricing: Pricing) -> Iterator[str]:
    """Loads that stand in no option at all."""
    for group in pricing.unfed:
        names = ", ".join(f"'{load.name}'" for load in group.loads)
        misses = "; ".join(nearest_misses(pricing, group))
        yield f"No output can feed {names}: {misses}."


def nearest_misses(pricing: Pricing, group: Alike, slots: Collection[int] | None = None) -> Iterator[str]:
    """The nearest miss of each reason, nearest first; of some slots only, where they are named."""
    nearest: dict[str, Refusal] = {}
    for refusal in pricing.refusals:
        if refusal.loads == (group.sample.name,) and (slots is None or refusal.slot in slots):
            best = nearest.get(refusal.reason)
            if best is None or refusal.distance < best.distance:
                nearest[refusal.reason] = refusal
    for refusal in sorted(nearest.values(), key=lambda refusal: refusal.distance)[:MISSES_SHOWN]:
        slot = pricing.slots[refusal.slot]
        own = slot.classes[refusal.slot_class]
        yield f"{refusal.reason}{_amounts(refusal, own)} ({slot.name}, class {own.output.name})"


def _amounts(refusal: Refusal, own: SlotClass) -> str:
    if refusal.asked is None:
        return ""
    asked = f"{refusal.asked:.4g}{_unit(refusal.asked, refusal.unit)}"
    if refusal.limit is None:
        return f", {asked}"
    if refusal.reason.startswith("no trip setting") and refusal.asked <= refusal.limit:
        return f", {asked} to {refusal.limit:.4g} A, and {_settings(own, refusal.asked)}"
    text = f", {asked} against {refusal.limit:.4g}{_unit(refusal.limit, refusal.unit)}"
    over = refusal.asked - refusal.limit
    return f"{text}, {over:.3g}{_unit(over, refusal.unit)} over" if over > 0.0 else text


def _unit(amount: float, unit: str) -> str:
    """A unit behind its figure, set apart from it; a thing that is counted stands in the singular at one."""
    return f" {unit.removesuffix('s') if amount == 1 else unit}" if unit else ""


def _settings(own: SlotClass, asked_a: float) -> str:
    """The trip settings of a class next to what is asked for."""
    settings = trip_settings(own.output)
    below = [f"{x:.4g} A" for x in settings if x < asked_a][-1:]
    above = [f"{x:.4g} A" for x in settings if x >= asked_a][:1]
    nearest = (*below, *above)
    return f"the nearest setting{' is' if len(nearest) == 1 else 's are'} {' and '.join(nearest)}"


def _unmounted(pricing: Pricing) -> Iterator[str]:
    """Units that must be fitted and cannot be, at any of their sites."""
    fed = {feed.slot for feed in pricing.feeds}
    for number, kind in enumerate(pricing.kinds):
        slots = [slot for slot in pricing.slots if slot.kind == number]
        names = ", ".join(f"'{unit.name}'" for unit in kind.units)
        if kind.sample.fit is not Fit.ALWAYS:
            continue
        if not slots:
            sites = "; ".join(_unfit(pricing.problem, kind.sample, site) for site in kind.sample.sites)
            yield f"Unit {names} can be mounted at none of its sites: {sites}."
        elif not any(slot.index in fed for slot in slots):
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
