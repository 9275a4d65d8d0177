"""What is answered: frozen objects, JSON in and out."""

from allocator.layout.layout import (
    FEASIBLE,
    HAND_MADE,
    INFEASIBLE,
    NOTHING_FOUND,
    OPTIMAL,
    Circuit,
    Contact,
    DirectCircuit,
    Feed,
    FittedUnit,
    GivenRun,
    Layout,
    LayoutError,
    PlacedWire,
    Splice,
    Totals,
)

__all__ = [
    "FEASIBLE",
    "HAND_MADE",
    "INFEASIBLE",
    "NOTHING_FOUND",
    "OPTIMAL",
    "Circuit",
    "Contact",
    "DirectCircuit",
    "Feed",
    "FittedUnit",
    "GivenRun",
    "Layout",
    "LayoutError",
    "PlacedWire",
    "Splice",
    "Totals",
]
