"""One function per constraint family, each a generator of rows; the registry fixes their order.

``spread`` stands before the current rows, ``bundle_heat_rows`` before those on warm bundles: they make variables that
the others carry.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from allocator.model.constraints.bulkheads import enough_contacts, enough_studs
from allocator.model.constraints.bundle_heat import bundle_heat_rows
from allocator.model.constraints.cables import cables_side_by_side
from allocator.model.constraints.currents import (
    bank_current,
    feed_current,
    open_capacity,
    open_feeds,
    spread,
    unit_current,
)
from allocator.model.constraints.failures import survive_bank, survive_bulkhead, survive_source, survive_unit
from allocator.model.constraints.loads import each_direct_load_once, each_load_once, only_where_fitted, together
from allocator.model.constraints.outputs import enough_outputs, spare_outputs
from allocator.model.constraints.sites import copies_in_order, one_feed_each, units_at_a_site, units_of_a_kind
from allocator.model.constraints.starts import feed_starts
from allocator.model.constraints.stated_bundles import as_stated
from allocator.model.constraints.warm_drops import drops_between_warm_bundles
from allocator.model.rows import Row
from allocator.model.variables import Variables

ConstraintFamily = Callable[[Variables], Iterator[Row]]

CONSTRAINTS: dict[str, ConstraintFamily] = {
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

__all__ = ["CONSTRAINTS", "TIGHTENING", "ConstraintFamily"]
