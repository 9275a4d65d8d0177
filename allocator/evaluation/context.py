"""What every rule looks at: the decisions of a layout, resolved against the problem once."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from allocator.evaluation.branches import Branch, Direct, Fed, Given, Mounted
from allocator.evaluation.laid_conductors import Conductor, class_asked, followed, free_air_a, row_of
from allocator.evaluation.neighbours import Neighbours
from allocator.layout import Contact, Layout, PlacedWire
from allocator.problem import SOURCE, Line, Load, Problem, Wire
from allocator.routing import Network, Route
from allocator.wiring import warmest_bundle_c

Key = tuple[str, int, int]
"""Where a wire stands in a layout: in which list, at which place there, and which wire of it."""


@dataclass(frozen=True, eq=False)
class Context:
    """The problem, the layout as stated and as completed, and what its decisions come to."""

    problem: Problem
    network: Network
    stated: Layout
    layout: Layout
    mounted: dict[str, Mounted]
    circuits: tuple[Fed, ...]
    direct: tuple[Direct, ...]
    given: tuple[Given, ...]
    neighbours: Neighbours

    @cached_property
    def feeds(self) -> dict[str, Conductor]:
        """The feed of each mounted unit that has one."""
        return {name: feed_of(self, one) for name, one in self.mounted.items() if one.stated.feed is not None}

    @property
    def branches(self) -> tuple[Branch, ...]:
        """Everything behind a trip or a fuse of its own: circuits and direct loads."""
        return (*self.circuits, *self.direct)

    def wires(self) -> Iterator[tuple[PlacedWire, Conductor]]:
        """Every wire of circuits and direct loads."""
        for branch in self.branches:
            for n, conductor in branch.pairs():
                yield branch.wires[n], conductor

    def through_bulkheads(self) -> Iterator[tuple[Key, tuple[Contact, ...], Conductor, int]]:
        """All that takes contacts, with the contacts it names: wires, and given wires with the number of cores."""
        for name, branches in (("circuits", self.circuits), ("direct", self.direct)):
            for i, branch in enumerate(branches):
                for n, conductor in branch.pairs():
                    yield (name, i, n), branch.wires[n].contacts, conductor, 1
        for i, given in enumerate(self.given):
            if given.conductor is not None and given.wire is not None:
                yield ("given", i, 0), given.run.contacts, given.conductor, given.wire.cores

    @cached_property
    def _on_units(self) -> dict[str, tuple[Fed, ...]]:
        found: dict[str, list[Fed]] = {}
        for fed in self.circuits:
            found.setdefault(fed.circuit.unit, []).append(fed)
        return {name: tuple(own) for name, own in found.items()}

    def on_unit(self, name: str) -> tuple[Fed, ...]:
        """Circuits of a unit."""
        return self._on_units.get(name, ())

    def returning_to(self, place: str) -> tuple[Load, ...]:
        """Loads whose return wire ends at the stud of a place; one that goes to a source there does not."""
        return self._returning.get(place, ())

    @cached_property
    def _returning(self) -> dict[str, tuple[Load, ...]]:
        found: dict[str, dict[str, Load]] = {}
        for branch in self.branches:
            grounded = [load for load in branch.loads if load.return_to != SOURCE]
            for wire in branch.wires:
                if wire.role == "return":
                    ending = ((load.name, load) for load in grounded if load.name in wire.loads)
                    found.setdefault(wire.end, {}).update(ending)
        return {place: tuple(loads.values()) for place, loads in found.items()}

    def heating_a(self, circuits: tuple[Fed, ...], condition: int) -> float:
        """Current of circuits in a condition, with the largest spreads that may come at once.

        Sum of the heating currents, plus the ``robust`` largest of spread times heating current (the worst
        case of Bertsimas and Sim 2004, Operations Research 52; reference from memory).
        """
        loads = [load for fed in circuits for load in fed.loads]
        currents = [load.current_a * load.heating(condition) for load in loads]
        extra = sorted((load.spread * a for load, a in zip(loads, currents, strict=True)), reverse=True)
        return sum(currents) + sum(extra[: self.problem.margins.robust])

    def feed_current_a(self, name: str) -> float:
        """What the feed of a unit carries in the worst condition, with the current kept spare."""
        circuits = self.on_unit(name)
        conditions = range(len(self.problem.conditions))
        worst = max((self.heating_a(circuits, m) for m in conditions), default=0.0)
        return worst + self.problem.unit[name].spare_current_a


def feed_of(context: Context, mounted: Mounted) -> Conductor:
    """The feed of a unit, from the source's place to the site."""
    problem, stated = context.problem, mounted.stated.feed
    assert stated is not None
    route = followed(problem, context.network, stated.route)
    row = row_of(problem.feed_wires, stated.size, stated.insulation_c)
    return Conductor(
        label=f"feed of unit {mounted.name}",
        route=route,
        table=problem.feed_wires,
        row=row,
        asked_c=class_asked(problem, problem.feed_wires, route),
        free_a=free_air_a(problem, row, route),
        line=Line.CABLE,
        factor=context.neighbours.factor(route, Line.CABLE),
        current_a=context.feed_current_a(mounted.name),
        length_m=None if route is None else route.length_m + problem.margins.tail_m,
        guard_a=stated.fuse_a,
        guard="fuse",
        bundle_c=None if row is None else _warmest_c(problem, route, row),
    )


def _warmest_c(problem: Problem, route: Route | None, row: Wire) -> float | None:
    """How warm the bundles are taken to be in which a feed may lie."""
    if route is None or not route.segments:
        return None
    return warmest_bundle_c(problem, route.ambient_c, row.insulation_c)
