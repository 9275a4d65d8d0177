"""A layout as pandas DataFrames: circuits, wires, units. pandas is imported at the first call."""

from __future__ import annotations

from typing import TYPE_CHECKING

from allocator.layout import Layout
from allocator.problem import Problem
from allocator.showing.records import circuit_records, unit_records, wire_records

if TYPE_CHECKING:
    from pandas import DataFrame


def circuits(layout: Layout, problem: Problem | None = None) -> DataFrame:
    """One row per circuit; columns as in `allocator.showing.records.circuit_records`."""
    from pandas import DataFrame

    return DataFrame(circuit_records(layout, problem))


def wires(layout: Layout) -> DataFrame:
    """One row per piece of wire, feeds included; lengths in m, masses in g."""
    from pandas import DataFrame

    return DataFrame(wire_records(layout))


def units(layout: Layout) -> DataFrame:
    """One row per fitted unit; currents in A."""
    from pandas import DataFrame

    return DataFrame(unit_records(layout))
