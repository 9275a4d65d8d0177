"""Decisions that a layout made by hand leaves out, filled in. What it states is never changed."""

from __future__ import annotations

from dataclasses import replace

from allocator.evaluation.branches import Branch, Fed, Mounted
from allocator.evaluation.joints import join
from allocator.evaluation.laid_conductors import class_asked, followed, free_air_a, on_shelf, shortest, table_of
from allocator.evaluation.mounted_units import mounts
from allocator.evaluation.neighbours import Neighbours
from allocator.evaluation.resolved_circuits import measured_m, return_place, straight, without_wires
from allocator.evaluation.shared_trees import shared_wires
from allocator.evaluation.tolerance import excess
from allocator.layout import Circuit, FittedUnit, Layout, PlacedWire
from allocator.problem import Line, Load, OutputClass, Problem
from allocator.routing import Network, Route
from allocator.wiring import of_class, trip_settings


def decided(problem: Problem, network: Network, neighbours: Neighbours, layout: Layout) -> Layout:
    """A layout whose units and circuits have every decision but contacts, feeds and spares.

    Parameters
    ----------
    problem
        The problem.
    network
        Its route network.
    neighbours
        What a line finds in each segment: cables beside it, and warm bundles.
    layout
        The layout.
    """
    units = tuple(_typed(problem, unit) for unit in layout.units)
    mounted = mounts(problem, units)
    circuits = tuple(_circuit(problem, network, neighbours, mounted.get(c.unit), c) for c in layout.circuits)
    return replace(layout, units=units, circuits=circuits)


def trip_needed_a(problem: Problem, fed: Fed) -> float:
    """The least trip that each output of a circuit may have: margin times the current it must let pass."""
    return problem.margins.trip * fed.current_a / (fed.parallel * fed.parallel_use)


def least_setting(output_class: OutputClass, needed_a: float) -> float | None:
    """The least trip setting of a class that is enough; None where there is none."""
    return next((trip for trip in trip_settings(output_class) if excess(needed_a, trip) == 0.0), None)


def _typed(problem: Problem, unit: FittedUnit) -> FittedUnit:
    known = problem.unit.get(unit.name)
    return replace(unit, type=known.type) if known is not None and not unit.type else unit


def _circuit(
    problem: Problem, network: Network, neighbours: Neighbours, mounted: Mounted | None, circuit: Circuit
) -> Circuit:
    fed = without_wires(problem, mounted, circuit)
    own = fed.output_class
    trip = circuit.trip_a
    if trip is None and own is not None:
        trip = least_setting(own, trip_needed_a(problem, fed))
    circuit = replace(
        circuit,
        output_class=circuit.output_class or (own.name if own is not None else None),
        bank=circuit.bank or (own.bank if own is not None else None),
        trip_a=trip,
    )
    fed = replace(fed, circuit=circuit)
    if mounted is None or not fed.loads:
        return circuit
    circuit = _expanded(problem, network, fed, mounted)
    fed = replace(fed, circuit=circuit)
    wires = tuple(joined(problem, network, fed, wire) for wire in _named(fed))
    missing = _missing_returns(problem, network, neighbours, fed, wires)
    wires = (*wires, *(joined(problem, network, fed, wire) for wire in missing))
    if fed.shared:
        wires = _trunks_named(wires, mounted.site.name, circuit.loads)
    return replace(circuit, wires=wires)


def _expanded(problem: Problem, network: Network, fed: Fed, mounted: Mounted) -> Circuit:
    """One wire of role ``any`` becomes all wires of the circuit, returns too, in one size."""
    circuit = fed.circuit
    if len(circuit.wires) != 1 or circuit.wires[0].role != "any":
        return circuit
    given = circuit.wires[0]
    if fed.shared:
        wires, splices = shared_wires(problem, network, mounted.site.name, fed.loads, given.size)
        circuit = replace(circuit, splices=circuit.splices or splices)
    else:
        wires = tuple(replace(given, role="out") for _ in circuit.pins)
    returning = [load.name for load in fed.loads if not load.bridge]
    back = [PlacedWire(role="return", size=given.size, loads=(name,)) for name in returning]
    return replace(circuit, wires=(*wires, *back))


def _named(fed: Fed) -> tuple[PlacedWire, ...]:
    """Wires with the load they belong to, where they name none and it can be told."""
    loads = fed.loads
    back = {name for wire in fed.circuit.wires if wire.role == "return" for name in wire.loads}
    open_returns = [load for load in loads if load.name not in back and not load.bridge]
    wires = []
    for wire in fed.circuit.wires:
        if not wire.loads and len(loads) == 1:
            wire = replace(wire, loads=(loads[0].name,))
        elif not wire.loads and wire.role == "return":
            fits = [load for load in open_returns if wire.start in ("", load.place)]
            if fits:
                open_returns.remove(fits[0])
                wire = replace(wire, loads=(fits[0].name,))
        wires.append(wire)
    return tuple(wires)


def _missing_returns(
    problem: Problem, network: Network, neighbours: Neighbours, fed: Fed, wires: tuple[PlacedWire, ...]
) -> list[PlacedWire]:
    """Returns not listed: of the size of the first wire, for a parallel group the lightest that serves."""
    back = {name for wire in wires if wire.role == "return" for name in wire.loads}
    outgoing = [wire for wire in wires if wire.role in ("out", "trunk", "branch")]
    if not outgoing:
        return []
    missing = []
    for load in fed.loads:
        if load.bridge or load.name in back:
            continue
        size = outgoing[0].size
        if fed.parallel > 1:
            size = _lightest_return(problem, network, neighbours, fed, load) or size
        missing.append(PlacedWire(role="return", size=size, loads=(load.name,)))
    return missing


def _lightest_return(problem: Problem, network: Network, neighbours: Neighbours, fed: Fed, load: Load) -> str | None:
    end = return_place(problem, network, load, fed.source)
    route = None if end is None else shortest(problem, network, load.place, end)
    trip = fed.circuit.trip_a
    if route is None or trip is None:
        return None
    for row in of_class(problem.wires, max(problem.wire_rules.insulation_c, route.insulation_c)):
        bears_a = (free_air_a(problem, row, route) or 0.0) * neighbours.factor(route, Line.WIRE)
        if on_shelf(problem, row) and excess(fed.parallel * trip, bears_a) == 0.0:
            return row.size
    return None


def joined(problem: Problem, network: Network, fed: Branch, wire: PlacedWire) -> PlacedWire:
    """A wire with its ends, route and insulation class.

    Parameters
    ----------
    problem
        The problem.
    network
        Its route network.
    fed
        The circuit or direct load that the wire belongs to.
    wire
        The wire as the layout has it.
    """
    load = problem.load.get(wire.loads[0]) if wire.loads else None
    start, end = _ends(problem, network, fed, wire, load)
    wire = replace(wire, start=wire.start or start, end=wire.end or end)
    route: Route | None
    if wire.route:
        route = followed(problem, network, wire.route)
    else:
        line = Line.WIRE if isinstance(fed, Fed) else line_of_direct(problem, wire.size)
        route = shortest(problem, network, wire.start, wire.end, line)
        if route is None and measured_m(problem, fed, wire) is not None and not problem.segments:
            route = straight(problem, (wire.start, wire.end))
        wire = replace(wire, route=() if route is None else route.places)
    if wire.insulation_c is None:
        table = problem.wires if isinstance(fed, Fed) else table_of(problem, wire.size, route, branch=True)
        wire = replace(wire, insulation_c=class_asked(problem, table, route))
    return wire


def line_of_direct(problem: Problem, size: str) -> Line:
    """What a wire of a direct load is, before its route is known: a cable where no wire on the shelf has its size."""
    rows = problem.wires.wires
    return Line.WIRE if any(row.size == size and on_shelf(problem, row) for row in rows) else Line.CABLE


def _ends(problem: Problem, network: Network, fed: Branch, wire: PlacedWire, load: Load | None) -> tuple[str, str]:
    """Where a wire starts and ends if it does not say so itself."""
    if wire.role == "return" and load is not None:
        return load.place, return_place(problem, network, load, fed.source) or ""
    start = wire.route[0] if wire.route else ""
    end = wire.route[-1] if wire.route else ""
    if wire.role == "out":
        start = fed.site or ""
    if wire.role in ("out", "branch") and load is not None:
        end = load.place
    return start, end


def _trunks_named(wires: tuple[PlacedWire, ...], site: str, loads: tuple[str, ...]) -> tuple[PlacedWire, ...]:
    """Trunks with the loads whose current they carry, where they name none."""
    downstream = dict(join(wires, site, loads).downstream)
    return tuple(
        replace(wire, loads=downstream.get(n, ())) if wire.role == "trunk" and not wire.loads else wire
        for n, wire in enumerate(wires)
    )
