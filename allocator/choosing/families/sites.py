"""Which units are fitted, and where."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.choosing.keys import AlwaysFitted, UnitsAtSite, UnitsOfKind
from allocator.choosing.rows import Row, at_least, at_most, equal
from allocator.choosing.variables import Variables


def units_of_a_kind(v: Variables) -> Iterator[Row]:
    """``always[k] <= sum_(s of kind k) fit[s] <= units[k]``."""
    for number, kind in enumerate(v.pricing.kinds):
        own = [(v.fit[s.index], 1.0) for s in v.pricing.slots if s.kind == number]
        if len(own) > len(kind.units):
            yield at_most(UnitsOfKind(number), own, len(kind.units))
        if kind.always:
            yield at_least(AlwaysFitted(number), own, kind.always)


def units_at_a_site(v: Variables) -> Iterator[Row]:
    """``sum_(s at site) fit[s] <= units[site]``."""
    sites: dict[str, list[int]] = {}
    for slot in v.pricing.slots:
        sites.setdefault(slot.site, []).append(slot.index)
    for site, own in sorted(sites.items()):
        most = v.pricing.problem.place[site].units
        if len(own) > most:
            yield at_most(UnitsAtSite(site), [(v.fit[s], 1) for s in own], most)


def copies_in_order(v: Variables) -> Iterator[Row]:
    """``fit[s'] <= fit[s]`` for the next copy *s'* of a kind at one site: alike units are not told apart."""
    slots = {(s.kind, s.site, s.copy): s.index for s in v.pricing.slots}
    for (kind, site, copy), index in slots.items():
        if copy:
            yield at_most(f"copy[{index}]", [(v.fit[index], 1), (v.fit[slots[kind, site, copy - 1]], -1)], 0)


def one_feed_each(v: Variables) -> Iterator[Row]:
    """``sum_g feed[s, g] = fit[s]``."""
    for slot in v.pricing.slots:
        own = [(v.feed[f.index], 1.0) for f in v.pricing.feeds_by_slot[slot.index]]
        yield equal(f"feed[{slot.index}]", [*own, (v.fit[slot.index], -1)], 0)
