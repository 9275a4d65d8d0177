"""What can be said in plain words where no layout is possible: facts of which each alone rules one out."""

from __future__ import annotations

from allocator.pricing import Pricing
from allocator.pricing.evident import of_units
from allocator.pricing.misses import unfed


def what_is_known(pricing: Pricing) -> tuple[str, ...]:
    """Sentences on what stands in the way of any layout, the plainest first; empty if it is only the sum of things.

    Loads that nothing can feed come with the reasons of their nearest misses.
    """
    capacities = [0] * len(pricing.slots)
    for feed in pricing.feeds:
        capacities[feed.slot] = max(capacities[feed.slot], feed.capacity_ma)
    hungry = unfed(pricing.unfed, pricing.slots, pricing.refusals) if pricing.slots else ()
    return (*pricing.faults, *hungry, *of_units(pricing, capacities))
