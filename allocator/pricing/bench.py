"""What pricing works with, and what it has worked out already."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from allocator.pricing.crowding import Crowd
from allocator.pricing.finished import FinishedWire
from allocator.problem import Problem, Wire, WireTable
from allocator.routing import Network, Route
from allocator.wiring import of_class

if TYPE_CHECKING:
    from allocator.pricing.plan import Plan

AREA_TOLERANCE = 0.005
"""Share by which an area may miss the end of a range: the same size is not written alike everywhere."""


@dataclass(frozen=True)
class Workbench:
    """A problem at work. ``crowd`` is None where bundles do not count; ``watched`` are the alike loads of
    functions held against bulkheads; ``returns`` are finished return wires by alike group.

    ``priced`` keeps plans made before, ``cut`` what was cut short, ``usable`` wires by class and tables.
    """

    problem: Problem
    network: Network
    runs: Mapping[tuple[str, str], float]
    crowd: Crowd | None
    watched: frozenset[int] = frozenset()
    returns: Mapping[int, FinishedWire] = field(default_factory=dict)
    priced: dict[object, list[Plan]] = field(default_factory=dict)
    cut: set[str] = field(default_factory=set)
    usable: dict[tuple[float, tuple[str, ...]], list[Wire]] = field(default_factory=dict)

    def wires(self, route: Route, tables: tuple[WireTable, ...]) -> list[Wire]:
        """Wires of the lowest class that a route asks for, each size from the first table that has it, by area.

        Of the problem's wire table only what is on the shelf and not below the smallest size.
        """
        asked = max(self.problem.wire_rules.insulation_c, route.insulation_c)
        key = (asked, tuple(table.name for table in tables))
        if key not in self.usable:
            self.usable[key] = sorted(self._found(asked, tables), key=lambda wire: wire.area_mm2)
        return self.usable[key]

    def _found(self, asked_c: float, tables: Iterable[WireTable]) -> Iterable[Wire]:
        rules = self.problem.wire_rules
        least = rules.smallest_mm2 * (1.0 - AREA_TOLERANCE)
        found: dict[str, Wire] = {}
        for table in tables:
            for wire in of_class(table, asked_c):
                usable = wire.area_mm2 >= least and (not rules.sizes or wire.size in rules.sizes)
                if wire.size not in found and (usable or table is not self.problem.wires):
                    found[wire.size] = wire
        return found.values()
