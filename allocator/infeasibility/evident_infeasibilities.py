"""What is plain where no layout is possible: facts of which each alone rules one out."""

from __future__ import annotations

from allocator.options import OptionList
from allocator.options.evident_faults import of_units, unfed
from allocator.options.faults import Fault


def evident_infeasibilities(option_list: OptionList) -> tuple[Fault, ...]:
    """What stands in the way of any layout, the plainest first; empty if it is only the sum of things.

    Loads that nothing can feed come with the reasons of their nearest misses.
    """
    capacities = [0] * len(option_list.slots)
    for feed in option_list.feeds:
        capacities[feed.slot] = max(capacities[feed.slot], feed.capacity_ma)
    hungry = unfed(option_list.unfed, option_list.slots, option_list.refusals) if option_list.slots else ()
    return (*option_list.faults, *hungry, *of_units(option_list, capacities))
