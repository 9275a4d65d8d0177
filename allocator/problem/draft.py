"""A problem that may still have gaps: what the cross-checks look at."""

from __future__ import annotations

from dataclasses import dataclass

from allocator.problem.loads import Load
from allocator.problem.network import Bulkhead, GivenWire, Place, Run, Segment
from allocator.problem.settings import Function, Margins, Source, WireRules, WireTable
from allocator.problem.units import Unit, UnitType

PARTS = (
    "loads",
    "places",
    "segments",
    "runs",
    "wires",
    "unit_types",
    "units",
    "sources",
    "bulkheads",
    "functions",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """The parts of a problem, with the gaps that mistakes in it have left.

    ``known`` holds, by part, every name that is known, those of objects left out for a mistake of their own
    among them; a part that is absent from it could not be read at all, and any name may be one of it.
    ``whole`` names the parts of which nothing is left out.
    """

    known: dict[str, frozenset[str]]
    whole: frozenset[str]
    conditions: tuple[str, ...] | None
    lowest_v: float | None
    loads: tuple[Load, ...] = ()
    places: tuple[Place, ...] = ()
    segments: tuple[Segment, ...] = ()
    runs: tuple[Run, ...] = ()
    given_wires: tuple[GivenWire, ...] = ()
    unit_types: tuple[UnitType, ...] = ()
    units: tuple[Unit, ...] = ()
    sources: tuple[Source, ...] = ()
    bulkheads: tuple[Bulkhead, ...] = ()
    functions: tuple[Function, ...] = ()
    wires: WireTable | None = None
    feed_wires: WireTable | None = None
    wire_rules: WireRules | None = None
    margins: Margins | None = None

    @property
    def unit_type(self) -> dict[str, UnitType]:
        """Unit types by name."""
        return {unit_type.name: unit_type for unit_type in self.unit_types}

    @property
    def unit(self) -> dict[str, Unit]:
        """Units by name."""
        return {unit.name: unit for unit in self.units}
