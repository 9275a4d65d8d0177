"""A layout as pandas DataFrames: circuits, wires, units. pandas is imported at the first call."""

from __future__ import annotations

from typing import TYPE_CHECKING

from allocator.layout import Layout
from allocator.problem import Problem
from allocator.reporting import records

if TYPE_CHECKING:
    from pandas import DataFrame


def circuits(layout: Layout, problem: Problem | None = None) -> DataFrame:
    """One row per circuit; columns as in `allocator.reporting.records.circuits`."""
    return records.circuits(layout, problem).frame()


def wires(layout: Layout) -> DataFrame:
    """One row per piece of wire, feeds included; lengths in m, masses in g."""
    return records.wires(layout).frame()


def units(layout: Layout) -> DataFrame:
    """One row per fitted unit; currents in A."""
    return records.units(layout).frame()
