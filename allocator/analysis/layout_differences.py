"""What differs between layouts of one problem: units with their feeds, and circuits."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from allocator.layout import Circuit, DirectCircuit, Feed, FittedUnit, Layout, PlacedWire
from allocator.problem import Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """How one layout feeds some loads by one circuit; ``origin`` is a unit, or a source for a direct load.

    ``wires`` holds (role, size, places passed, length in m); trips and fuses are both ``guard_a``.
    """

    loads: tuple[str, ...]
    origin: str
    site: str | None
    bank: str | None
    output_class: str | None
    pins: tuple[str, ...]
    guard_a: float | None
    wires: tuple[tuple[str, str, tuple[str, ...], float | None], ...]
    copper_g: float
    drop_percent: float | None

    @property
    def beside_pins(self) -> tuple[object, ...]:
        """All that is decided but which outputs of the class it takes."""
        wires = tuple((role, size, route, _millimetres(length)) for role, size, route, length in self.wires)
        outputs = (self.output_class, len(self.pins))
        return self.loads, self.origin, self.site, outputs, self.guard_a, wires


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """Loads that are not fed alike: the circuits of each layout, in the order of the layouts; () where none is."""

    loads: tuple[str, ...]
    ways: tuple[tuple[Way, ...], ...]

    @property
    def pins_only(self) -> bool:
        """Whether nothing differs but which outputs of the same class and unit are taken."""
        return len({tuple(way.beside_pins for way in ways) for ways in self.ways}) == 1

    @property
    def copper_g(self) -> tuple[float, ...]:
        """Copper of these circuits in each layout."""
        return tuple(sum(way.copper_g for way in ways) for ways in self.ways)


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitDifference:
    """A unit that is not fitted or fed alike; None for a layout without it."""

    unit: str
    fitted: tuple[FittedUnit | None, ...]


def unit_differences(layouts: Sequence[Layout]) -> tuple[UnitDifference, ...]:
    """Units whose site or feed differs, in the order in which the layouts name them."""
    names = dict.fromkeys(unit.name for layout in layouts for unit in layout.units)
    found = []
    for name in names:
        fitted = tuple(next((unit for unit in layout.units if unit.name == name), None) for layout in layouts)
        if len({_fitting(unit) for unit in fitted}) > 1:
            found.append(UnitDifference(unit=name, fitted=fitted))
    return tuple(found)


def _fitting(unit: FittedUnit | None) -> tuple[object, ...]:
    if unit is None:
        return ()
    feed = None if unit.feed is None else _feed(unit.feed)
    spare: Counter[str] = Counter()
    for name, _, count in unit.spare:
        spare[name] += count
    return unit.site, feed, tuple(sorted(spare.items()))


def _feed(feed: Feed) -> tuple[object, ...]:
    return feed.size, feed.route, feed.insulation_c, feed.fuse_a, _millimetres(feed.length_m)


def differences(problem: Problem, layouts: Sequence[Layout]) -> tuple[Difference, ...]:
    """Circuits that differ, in the order of the problem's loads; then those of loads that it does not have.

    Loads that one layout feeds together and another apart stand in one difference.
    """
    ways = [tuple(_ways(layout)) for layout in layouts]
    found = []
    for loads in _groups(problem, ways):
        own = tuple(tuple(way for way in of_layout if set(way.loads) & set(loads)) for of_layout in ways)
        if len({tuple((way.beside_pins, way.pins) for way in of_layout) for of_layout in own}) > 1:
            found.append(Difference(loads=loads, ways=own))
    return tuple(found)


def _groups(problem: Problem, ways: Sequence[tuple[Way, ...]]) -> Iterator[tuple[str, ...]]:
    """Loads that circuits of any layout join, directly or over others."""
    import networkx

    graph: networkx.Graph[str] = networkx.Graph()
    graph.add_nodes_from(load.name for load in problem.loads)
    for of_layout in ways:
        for way in of_layout:
            networkx.add_path(graph, way.loads)
    place = {name: n for n, name in enumerate(graph)}
    groups = [tuple(sorted(group, key=place.__getitem__)) for group in networkx.connected_components(graph)]
    yield from sorted(groups, key=lambda group: place[group[0]])


def _ways(layout: Layout) -> Iterator[Way]:
    """Every circuit, by its loads, then its pins; direct loads too."""
    sites = {unit.name: unit.site for unit in layout.units}
    ways = [_way(circuit, sites.get(circuit.unit)) for circuit in layout.circuits]
    ways += [_direct(direct) for direct in layout.direct]
    yield from sorted(ways, key=lambda way: (way.loads, way.origin, way.pins))


def _way(circuit: Circuit, site: str | None) -> Way:
    return Way(
        loads=tuple(sorted(circuit.loads)),
        origin=circuit.unit,
        site=site,
        bank=circuit.bank,
        output_class=circuit.output_class,
        pins=tuple(sorted(circuit.pins)),
        guard_a=circuit.trip_a,
        wires=_wires(circuit.wires),
        copper_g=_copper_g(circuit.wires),
        drop_percent=circuit.drop_percent,
    )


def _direct(direct: DirectCircuit) -> Way:
    return Way(
        loads=(direct.load,),
        origin=direct.source,
        site=None,
        bank=None,
        output_class=None,
        pins=(),
        guard_a=direct.fuse_a,
        wires=_wires(direct.wires),
        copper_g=_copper_g(direct.wires),
        drop_percent=direct.drop_percent,
    )


def _wires(wires: tuple[PlacedWire, ...]) -> tuple[tuple[str, str, tuple[str, ...], float | None], ...]:
    return tuple(sorted(((w.role, w.size, w.route, w.length_m) for w in wires), key=str))


def _copper_g(wires: tuple[PlacedWire, ...]) -> float:
    return sum(wire.copper_g or 0.0 for wire in wires)


def _millimetres(length_m: float | None) -> int | None:
    """A length that two ways of adding up give alike."""
    return None if length_m is None else round(1000.0 * length_m)
