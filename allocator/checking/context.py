"""What every rule looks at: the decisions of a layout, resolved against the problem once."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from allocator.checking.conductors import Conductor, carries_a, class_asked, followed, row_of
from allocator.checking.joints import Joints
from allocator.layout import Circuit, FittedUnit, Layout
from allocator.problem import SOURCE, Load, OutputClass, Place, Problem, Run, Unit, UnitType
from allocator.routing import Network


@dataclass(frozen=True, slots=True, kw_only=True)
class Mounted:
    """A unit of the problem at a place of the problem; ``hot`` is the share of every rating left there."""

    unit: Unit
    type: UnitType
    site: Place
    hot: float
    stated: FittedUnit

    @property
    def name(self) -> str:
        """Name of the unit."""
        return self.unit.name


@dataclass(frozen=True, slots=True, kw_only=True)
class Fed:
    """One circuit. ``classes`` holds the output class of each pin, None for a pin that the unit lacks.

    ``conductors`` stand in the order of ``circuit.wires``, or there are none where unit or loads are unknown.
    ``joints`` is None unless loads share the output.
    """

    circuit: Circuit
    loads: tuple[Load, ...]
    mounted: Mounted | None
    classes: tuple[OutputClass | None, ...]
    conductors: tuple[Conductor, ...] = ()
    joints: Joints | None = None

    @property
    def label(self) -> str:
        """How violations name the circuit."""
        return f"circuit {self.circuit.name}"

    @property
    def output_class(self) -> OutputClass | None:
        """The class of all its pins, None where they have none or differ."""
        first = self.classes[0] if self.classes else None
        return first if all(one is first for one in self.classes) else None

    @property
    def shared(self) -> bool:
        """Whether more than one load hangs on the output."""
        return len(self.circuit.loads) > 1

    @property
    def bridge(self) -> bool:
        """Whether its two outputs form a bridge."""
        return any(load.bridge for load in self.loads)

    @property
    def parallel(self) -> int:
        """Outputs among which the current divides: 1 for a bridge pair."""
        return 1 if self.bridge else max(len(self.circuit.pins), 1)

    @property
    def parallel_use(self) -> float:
        """Share of its rating that each output of a parallel group may give."""
        return self.output_class.parallel_use if self.parallel > 1 and self.output_class else 1.0

    @property
    def current_a(self) -> float:
        """Full current of the circuit."""
        return sum(load.full_current_a for load in self.loads)

    @property
    def rating_a(self) -> float | None:
        """Continuous rating of one output at the site."""
        if self.output_class is None or self.mounted is None:
            return None
        return self.output_class.continuous_a * self.mounted.hot

    @property
    def banks(self) -> frozenset[str]:
        """Banks that its pins lie in."""
        return frozenset(one.bank for one in self.classes if one is not None and one.bank is not None)

    def pairs(self, *roles: str) -> Iterator[tuple[int, Conductor]]:
        """Index and conductor of the wires with these roles, all where none is named."""
        for n, (wire, conductor) in enumerate(zip(self.circuit.wires, self.conductors, strict=bool(self.conductors))):
            if not roles or wire.role in roles:
                yield n, conductor


@dataclass(frozen=True)
class Context:
    """The problem, the layout as stated and as completed, and what its decisions come to."""

    problem: Problem
    network: Network
    stated: Layout
    layout: Layout
    mounted: dict[str, Mounted]
    circuits: tuple[Fed, ...]

    @cached_property
    def feeds(self) -> dict[str, Conductor]:
        """The feed of each mounted unit that has one."""
        return {name: feed_of(self, one) for name, one in self.mounted.items() if one.stated.feed is not None}

    def on_unit(self, name: str) -> tuple[Fed, ...]:
        """Circuits of a unit."""
        return tuple(fed for fed in self.circuits if fed.circuit.unit == name)

    def returning_to(self, place: str) -> tuple[Load, ...]:
        """Loads whose return wire ends at the stud of a place; one that goes to a source there does not."""
        found: dict[str, Load] = {}
        for fed in self.circuits:
            grounded = [load for load in fed.loads if load.return_to != SOURCE]
            for wire in fed.circuit.wires:
                if wire.role == "return" and wire.end == place:
                    found.update((load.name, load) for load in grounded if load.name in wire.loads)
        return tuple(found.values())

    def crossed(self, places: tuple[str, ...]) -> tuple[str, ...]:
        """Bulkheads crossed along places, one name per crossing; none where there is no such way."""
        route = followed(self.problem, self.network, places)
        return () if route is None else route.bulkheads

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
        row=row,
        asked_c=class_asked(problem, problem.feed_wires, route),
        ampacity_a=carries_a(problem, row, route),
        current_a=context.feed_current_a(mounted.name),
        length_m=None if route is None else route.length_m + problem.margins.tail_m,
    )


def run_of(problem: Problem, load: Load, site: str) -> Run | None:
    """The length measured between a load (or its item) and a site; the load's own goes first."""
    at_site = [run for run in problem.runs if run.site == site]
    for name in (load.name, load.item):
        for run in at_site:
            if run.load == name:
                return run
    return None


def mount(problem: Problem, stated: FittedUnit) -> Mounted | None:
    """The unit and site that a layout names, None where the problem lacks one of them."""
    unit = problem.unit.get(stated.name)
    unit_type = problem.unit_type.get(unit.type) if unit is not None else None
    site = problem.place.get(stated.site)
    if unit is None or unit_type is None or site is None:
        return None
    hot = unit_type.hot_share(problem.place_ambient_c(site.name))
    return Mounted(unit=unit, type=unit_type, site=site, hot=hot, stated=stated)


def class_of_pin(mounted: Mounted | None, pin: str) -> OutputClass | None:
    """The output class that a pin of a unit belongs to."""
    if mounted is None:
        return None
    return next((one for one in mounted.type.outputs if pin in one.pins), None)
