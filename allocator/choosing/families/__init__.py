"""One function per constraint family, each a generator of rows; the registry fixes their order.

``spread`` stands before the current rows, ``bundle_heat_rows`` before those on warm bundles: they make variables that
the others carry.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from allocator.choosing.families.bulkheads import enough_contacts, enough_studs
from allocator.choosing.families.bundle_heat import bundle_heat_rows
from allocator.choosing.families.cables import cables_side_by_side
from allocator.choosing.families.currents import (
    bank_current,
    feed_current,
    open_capacity,
    open_feeds,
    spread,
    unit_current,
)
from allocator.choosing.families.failures import survive_bank, survive_bulkhead, survive_source, survive_unit
from allocator.choosing.families.loads import each_direct_load_once, each_load_once, only_where_fitted, together
from allocator.choosing.families.outputs import enough_outputs, spare_outputs
from allocator.choosing.families.sites import copies_in_order, one_feed_each, units_at_a_site, units_of_a_kind
from allocator.choosing.families.starts import feed_starts
from allocator.choosing.families.stated_bundles import as_stated
from allocator.choosing.families.warm_drops import drops_between_warm_bundles
from allocator.choosing.rows import Row
from allocator.choosing.variables import Variables

Family = Callable[[Variables], Iterator[Row]]

FAMILIES: dict[str, Family] = {
    family.__name__: family
    for family in (
        each_load_once,
        each_direct_load_once,
        only_where_fitted,
        together,
        units_of_a_kind,
        units_at_a_site,
        copies_in_order,
        one_feed_each,
        spare_outputs,
        enough_outputs,
        spread,
        unit_current,
        bank_current,
        feed_current,
        open_capacity,
        open_feeds,
        survive_source,
        survive_unit,
        survive_bank,
        survive_bulkhead,
        enough_contacts,
        enough_studs,
        feed_starts,
        bundle_heat_rows,
        drops_between_warm_bundles,
        as_stated,
        cables_side_by_side,
    )
}

TIGHTENING = ("copies_in_order", "open_capacity", "open_feeds")
"""Families that change no answer, only how fast it is found and proven."""

__all__ = ["FAMILIES", "TIGHTENING", "Family"]
