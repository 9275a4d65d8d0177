"""Which units are fitted, and where."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.model.keys import AlwaysFitted, UnitsAtSite, UnitsOfGroup
from allocator.model.rows import Row, at_least, at_most, equal
from allocator.model.variables import Variables


def units_of_a_kind(v: Variables) -> Iterator[Row]:
    """``always[k] <= sum_(s of kind k) fit[s] <= units[k]``."""
    for number, unit_group in enumerate(v.option_list.unit_groups):
        own = [(v.fit[s.index], 1.0) for s in v.option_list.slots if s.unit_group == number]
        if len(own) > len(unit_group.units):
            yield at_most(UnitsOfGroup(number), own, len(unit_group.units))
        if unit_group.always:
            yield at_least(AlwaysFitted(number), own, unit_group.always)


def units_at_a_site(v: Variables) -> Iterator[Row]:
    """``sum_(s at site) fit[s] <= units[site]``."""
    sites: dict[str, list[int]] = {}
    for slot in v.option_list.slots:
        sites.setdefault(slot.site, []).append(slot.index)
    for site, own in sorted(sites.items()):
        most = v.option_list.problem.place[site].units
        if len(own) > most:
            yield at_most(UnitsAtSite(site), [(v.fit[s], 1) for s in own], most)


def copies_in_order(v: Variables) -> Iterator[Row]:
    """``fit[s'] <= fit[s]`` for the next copy *s'* of a kind at one site: alike units are not told apart."""
    slots = {(s.unit_group, s.site, s.copy): s.index for s in v.option_list.slots}
    for (unit_group, site, copy), index in slots.items():
        if copy:
            yield at_most(f"copy[{index}]", [(v.fit[index], 1), (v.fit[slots[unit_group, site, copy - 1]], -1)], 0)


def one_feed_each(v: Variables) -> Iterator[Row]:
    """``sum_g feed[s, g] = fit[s]``."""
    for slot in v.option_list.slots:
        own = [(v.feed[f.index], 1.0) for f in v.option_list.feeds_by_slot[slot.index]]
        yield equal(f"feed[{slot.index}]", [*own, (v.fit[slot.index], -1)], 0)
