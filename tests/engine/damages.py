"""Ways to spoil a good layout, each of which breaks a rule for certain, once its figures are taken away."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from allocator.layout import Circuit, DirectCircuit, FittedUnit, Layout, PlacedWire, Splice
from allocator.problem import Problem, WireTable

Damage = Callable[[Problem, Layout], Iterator[Layout]]


def decisions(layout: Layout) -> Layout:
    """A layout with nothing left but what was decided: every figure that could betray a damage is gone."""
    circuits = tuple(
        Circuit(
            name=c.name,
            loads=c.loads,
            unit=c.unit,
            pins=c.pins,
            trip_a=c.trip_a,
            splices=c.splices,
            wires=_where_they_lie(c.wires),
        )
        for c in layout.circuits
    )
    direct = tuple(
        DirectCircuit(load=d.load, source=d.source, fuse_a=d.fuse_a, wires=_where_they_lie(d.wires))
        for d in layout.direct
    )
    units = tuple(
        FittedUnit(
            name=u.name,
            site=u.site,
            feed=u.feed and replace(u.feed, length_m=None, copper_g=None, wire_g=None, drop_percent=None),
        )
        for u in layout.units
    )
    return Layout(problem=layout.problem, units=units, circuits=circuits, direct=direct)


def _where_they_lie(wires: tuple[PlacedWire, ...]) -> tuple[PlacedWire, ...]:
    return tuple(
        PlacedWire(role=w.role, size=w.size, start=w.start, end=w.end, route=w.route, loads=w.loads) for w in wires
    )


def _circuits(layout: Layout, change: Callable[[Circuit], Iterator[Circuit]]) -> Iterator[Layout]:
    for n, circuit in enumerate(layout.circuits):
        for changed in change(circuit):
            yield replace(layout, circuits=(*layout.circuits[:n], changed, *layout.circuits[n + 1 :]))


def _units(layout: Layout, change: Callable[[FittedUnit], Iterator[FittedUnit]]) -> Iterator[Layout]:
    for n, unit in enumerate(layout.units):
        for changed in change(unit):
            yield replace(layout, units=(*layout.units[:n], changed, *layout.units[n + 1 :]))


def wrong_pin(_: Problem, layout: Layout) -> Iterator[Layout]:
    """A pin that another circuit of the unit has."""

    def change(circuit: Circuit) -> Iterator[Circuit]:
        for other in layout.circuits:
            if other is not circuit and other.unit == circuit.unit:
                yield replace(circuit, pins=(other.pins[0], *circuit.pins[1:]))

    return _circuits(layout, change)


def no_such_pin(_: Problem, layout: Layout) -> Iterator[Layout]:
    """A pin that the unit does not have."""
    return _circuits(layout, lambda c: iter([replace(c, pins=("none such", *c.pins[1:]))]))


def a_pin_less(_: Problem, layout: Layout) -> Iterator[Layout]:
    """One output fewer of a parallel group or a bridge pair."""
    return _circuits(layout, lambda c: iter([replace(c, pins=c.pins[1:])] if len(c.pins) > 1 else []))


def dropped_load(_: Problem, layout: Layout) -> Iterator[Layout]:
    """A circuit left out."""
    for n in range(len(layout.circuits)):
        yield replace(layout, circuits=layout.circuits[:n] + layout.circuits[n + 1 :])


def fed_twice(_: Problem, layout: Layout) -> Iterator[Layout]:
    """A circuit listed twice."""
    for circuit in layout.circuits:
        yield replace(layout, circuits=(*layout.circuits, circuit))


def moved_load(_: Problem, layout: Layout) -> Iterator[Layout]:
    """A circuit said to be on a unit that sits elsewhere, its wires left where they are."""
    site = {unit.name: unit.site for unit in layout.units}

    def change(circuit: Circuit) -> Iterator[Circuit]:
        for unit in layout.units:
            if unit.site != site[circuit.unit]:
                yield replace(circuit, unit=unit.name)

    return _circuits(layout, change)


def other_site(problem: Problem, layout: Layout) -> Iterator[Layout]:
    """A unit said to be at another place, its wires left where they are."""
    fed = {circuit.unit for circuit in layout.circuits}

    def change(unit: FittedUnit) -> Iterator[FittedUnit]:
        for place in problem.places:
            if place.name != unit.site and (unit.name in fed or place.name not in problem.unit[unit.name].sites):
                yield replace(unit, site=place.name)

    return _units(layout, change)


def unit_left_out(_: Problem, layout: Layout) -> Iterator[Layout]:
    """A unit left out though circuits hang on it."""
    fed = {circuit.unit for circuit in layout.circuits}
    for n, unit in enumerate(layout.units):
        if unit.name in fed:
            yield replace(layout, units=layout.units[:n] + layout.units[n + 1 :])


def smaller_wire(problem: Problem, layout: Layout) -> Iterator[Layout]:
    """A wire that has a length one size down: were it allowed, the least copper would have had it."""

    def change(circuit: Circuit) -> Iterator[Circuit]:
        for n, wire in enumerate(circuit.wires):
            size = _next_down(problem.wires, wire.size)
            if size is not None and wire.copper_g:
                thinner = replace(wire, size=size)
                yield replace(circuit, wires=(*circuit.wires[:n], thinner, *circuit.wires[n + 1 :]))

    return _circuits(layout, change)


def missing_wire(_: Problem, layout: Layout) -> Iterator[Layout]:
    """An outgoing wire left out."""

    def change(circuit: Circuit) -> Iterator[Circuit]:
        for n, wire in enumerate(circuit.wires):
            if wire.role != "return":
                yield replace(circuit, wires=circuit.wires[:n] + circuit.wires[n + 1 :])

    return _circuits(layout, change)


def lower_trip(problem: Problem, layout: Layout) -> Iterator[Layout]:
    """Two thirds of the trip margin, which is more than half a step too low."""

    def change(circuit: Circuit) -> Iterator[Circuit]:
        current = sum(problem.load[name].full_current_a for name in circuit.loads)
        yield replace(circuit, trip_a=current * problem.margins.trip / len(circuit.pins) * 0.6)

    return _circuits(layout, change)


def higher_trip(problem: Problem, layout: Layout) -> Iterator[Layout]:
    """One step above the least setting that does."""

    def change(circuit: Circuit) -> Iterator[Circuit]:
        kind = problem.unit_type[problem.unit[circuit.unit].type]
        outputs = next(c for c in kind.outputs if circuit.pins[0] in c.pins)
        if circuit.trip_a is not None:
            step = outputs.trip_step_a or min((t for t in outputs.trips_a if t > circuit.trip_a), default=99.0)
            yield replace(circuit, trip_a=circuit.trip_a + step if outputs.trip_step_a else step)

    return _circuits(layout, change)


def smaller_feed(problem: Problem, layout: Layout) -> Iterator[Layout]:
    """A feed one size down: were it allowed, the least copper would have had it."""

    def change(unit: FittedUnit) -> Iterator[FittedUnit]:
        size = _next_down(problem.feed_wires, unit.feed.size) if unit.feed else None
        if unit.feed and size is not None:
            yield replace(unit, feed=replace(unit.feed, size=size))

    return _units(layout, change)


def other_fuse(_: Problem, layout: Layout) -> Iterator[Layout]:
    """A fuse of twice the rating, and one that is no standard fuse."""

    def change(unit: FittedUnit) -> Iterator[FittedUnit]:
        if unit.feed and unit.feed.fuse_a:
            yield replace(unit, feed=replace(unit.feed, fuse_a=2 * unit.feed.fuse_a))
            yield replace(unit, feed=replace(unit.feed, fuse_a=unit.feed.fuse_a + 0.37))

    return _units(layout, change)


def a_splice_more(_: Problem, layout: Layout) -> Iterator[Layout]:
    """A splice more than there are wires for."""

    def change(circuit: Circuit) -> Iterator[Circuit]:
        for n, splice in enumerate(circuit.splices):
            more = Splice(place=splice.place, count=splice.count + 1)
            yield replace(circuit, splices=(*circuit.splices[:n], more, *circuit.splices[n + 1 :]))

    return _circuits(layout, change)


def _next_down(table: WireTable, size: str) -> str | None:
    area = {wire.size: wire.area_mm2 for wire in table.wires}
    smaller = [(a, name) for name, a in area.items() if a < area[size]]
    return max(smaller)[1] if smaller else None


DAMAGES: dict[str, Damage] = {
    damage.__name__.replace("_", " "): damage
    for damage in (
        wrong_pin,
        no_such_pin,
        a_pin_less,
        dropped_load,
        fed_twice,
        moved_load,
        other_site,
        unit_left_out,
        smaller_wire,
        missing_wire,
        lower_trip,
        higher_trip,
        smaller_feed,
        other_fuse,
        a_splice_more,
    )
}
