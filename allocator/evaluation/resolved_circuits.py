"""Circuits resolved against the problem: their wires as conductors, the drop to each load."""

from __future__ import annotations

from dataclasses import replace

from allocator.evaluation.branches import Branch, Direct, Fed, Mounted
from allocator.evaluation.joints import join, splices_needed
from allocator.evaluation.laid_conductors import (
    Conductor,
    class_asked,
    followed,
    free_air_a,
    line_of_table,
    row_of,
    table_of,
)
from allocator.evaluation.mounted_units import class_of_pin, run_of
from allocator.evaluation.neighbours import Neighbours
from allocator.layout import Circuit, DirectCircuit, PlacedWire
from allocator.problem import CHASSIS, SOURCE, Load, Problem, Source
from allocator.routing import Network, Route, RouteError
from allocator.wiring import SPLICE_OHM

ROLES = ("out", "trunk", "branch", "return")


def feed_circuit(
    problem: Problem, network: Network, neighbours: Neighbours, mounted: Mounted | None, circuit: Circuit
) -> Fed:
    """A circuit with its loads, output classes and conductors; none where its unit or loads are unknown.

    Parameters
    ----------
    problem
        The problem.
    network
        Its route network.
    neighbours
        What a line finds in each segment: cables beside it, and warm bundles.
    mounted
        Its unit; None where the unit is not fitted.
    circuit
        The circuit of the layout.
    """
    fed = without_wires(problem, mounted, circuit)
    if mounted is None or not fed.loads:
        return fed
    if fed.shared:
        names = tuple(dict.fromkeys(circuit.loads))
        fed = replace(fed, joints=join(circuit.wires, mounted.site.name, names))
    return replace(fed, conductors=_conductors(problem, network, neighbours, fed))


def feed_direct(problem: Problem, network: Network, neighbours: Neighbours, circuit: DirectCircuit) -> Direct:
    """A direct load with its conductors; none where the problem lacks load or source.

    Parameters
    ----------
    problem
        The problem.
    network
        Its route network.
    neighbours
        What a line finds in each segment: cables beside it, and warm bundles.
    circuit
        The direct load of the layout.
    """
    direct = direct_without_wires(problem, circuit)
    if direct.origin is None or not direct.loads:
        return direct
    return replace(direct, conductors=_conductors(problem, network, neighbours, direct))


def direct_without_wires(problem: Problem, circuit: DirectCircuit) -> Direct:
    """A direct load with its load and source only."""
    load = problem.load.get(circuit.load)
    return Direct(circuit=circuit, loads=() if load is None else (load,), origin=problem.source.get(circuit.source))


def without_wires(problem: Problem, mounted: Mounted | None, circuit: Circuit) -> Fed:
    """A circuit with its loads and output classes only."""
    return Fed(
        circuit=circuit,
        loads=tuple(problem.load[name] for name in circuit.loads if name in problem.load),
        mounted=mounted,
        classes=tuple(class_of_pin(mounted, pin) for pin in circuit.pins),
    )


def return_place(problem: Problem, network: Network, load: Load, source: Source | None) -> str | None:
    """Where the return wire of a load ends; None where that cannot be told.

    Parameters
    ----------
    problem
        The problem.
    network
        Its route network.
    load
        The load.
    source
        The source that feeds it; None where that is unknown.
    """
    if load.return_to == CHASSIS:
        if not has_studs(problem):
            return load.place
        try:
            return network.stud_of(load.place)
        except RouteError:
            return None
    if load.return_to == SOURCE:
        return source.place if source is not None else None
    return load.return_to


def has_studs(problem: Problem) -> bool:
    """Whether the problem names any ground stud."""
    return any(place.stud_a is not None for place in problem.places)


def drops_v(fed: Branch, splice_wires: int) -> dict[str, float | None]:
    """Branch drop of each load in volts, from output or source to return point; None where a wire is not resolved."""
    return {load.name: _drop_v(fed, load, splice_wires) for load in fed.loads}


def _drop_v(fed: Branch, load: Load, splice_wires: int) -> float | None:
    parts: list[float | None]
    if isinstance(fed, Fed) and fed.joints is not None:
        parts = _shared_parts(fed, load, splice_wires)
    else:
        outs = [conductor.drop_v for _, conductor in fed.pairs("out")]
        known = [drop for drop in outs if drop is not None]
        # the current of a bridge passes both wires; of a parallel group the longest wire is the worst
        parts = list(outs) if load.bridge or len(known) < len(outs) else [max(known, default=None)]
    returns = [c.drop_v for n, c in fed.pairs("return") if load.name in fed.wires[n].loads]
    known = [part for part in (*parts, *returns) if part is not None]
    return sum(known) if len(known) == len(parts) + len(returns) else None


def _shared_parts(fed: Fed, load: Load, splice_wires: int) -> list[float | None]:
    """Drops of the pieces and splices on the way to a load; splices are passed at the current that arrives."""
    assert fed.joints is not None
    meeting = dict(fed.joints.meeting)
    parts: list[float | None] = []
    for n in dict(fed.joints.ways).get(load.name, ()):
        wire, conductor = fed.circuit.wires[n], fed.conductors[n]
        parts.append(conductor.drop_v)
        if wire.role == "trunk":
            count = splices_needed(meeting[wire.end], splice_wires)
            parts.append(count * SPLICE_OHM * conductor.current_a)
    return parts or [None]


def carried(fed: Branch, n: int) -> tuple[str, ...]:
    """Loads whose current a wire carries: those of the branch, those behind a trunk, or those it names."""
    wire = fed.wires[n]
    if wire.role == "out":
        return tuple(load.name for load in fed.loads)
    if wire.role == "trunk" and isinstance(fed, Fed) and fed.joints is not None:
        return dict(fed.joints.downstream).get(n, ())
    return tuple(dict.fromkeys(wire.loads))


def divided(fed: Branch, n: int) -> int:
    """Wires among which the current of a wire's loads divides."""
    return fed.parallel if fed.wires[n].role == "out" else 1


def _conductors(problem: Problem, network: Network, neighbours: Neighbours, fed: Branch) -> tuple[Conductor, ...]:
    return tuple(_conductor(problem, network, neighbours, fed, n) for n in range(len(fed.wires)))


def _conductor(problem: Problem, network: Network, neighbours: Neighbours, fed: Branch, n: int) -> Conductor:
    wire, direct = fed.wires[n], isinstance(fed, Direct)
    route = _route(problem, network, fed, wire)
    table = table_of(problem, wire.size, route, branch=True) if direct else problem.wires
    line = line_of_table(problem, table)
    row = row_of(table, wire.size, wire.insulation_c)
    guard_a = None if fed.guard_a is None else fed.guard_a * (fed.parallel if wire.role == "return" else 1)
    current_a = _current_a(problem, fed, n)
    return Conductor(
        label=f"{fed.label}, {_called(fed, n)}",
        route=route,
        table=table,
        row=row,
        asked_c=class_asked(problem, table, route),
        free_a=free_air_a(problem, row, route),
        line=line,
        factor=neighbours.factor(route, line),
        current_a=current_a,
        length_m=_length_m(problem, fed, wire, route),
        guard_a=guard_a,
        guard="fuse" if direct else "trip",
        contact_ohm=_contact_ohm(problem, wire),
        bundle_c=neighbours.bundle_c(route, line),
    )


def _called(fed: Branch, n: int) -> str:
    """Words for a wire: its role and, where there are several of that role, its number among them."""
    role = fed.wires[n].role
    alike = [i for i, wire in enumerate(fed.wires) if wire.role == role]
    return f"{role} wire" if len(alike) == 1 else f"{role} wire {alike.index(n) + 1}"


def _route(problem: Problem, network: Network, fed: Branch, wire: PlacedWire) -> Route | None:
    route = followed(problem, network, wire.route)
    if route is None and measured_m(problem, fed, wire) is not None and not problem.segments:
        return straight(problem, wire.route)
    return route


def straight(problem: Problem, places: tuple[str, ...]) -> Route | None:
    """A direct way between two places of a problem without a network: its length is the measured run's."""
    if len(places) != 2 or any(place not in problem.place for place in places):
        return None
    ambient = max(problem.place_ambient_c(place) for place in places)
    return Route(places=places, length_m=0.0, ambient_c=ambient)


def measured_m(problem: Problem, fed: Branch, wire: PlacedWire) -> float | None:
    """The measured length of an outgoing wire, None where it goes by its route."""
    if wire.role != "out" or fed.site is None or not fed.loads:
        return None
    run = run_of(problem, fed.loads[0], fed.site)
    return None if run is None else run.length_m


def _length_m(problem: Problem, fed: Branch, wire: PlacedWire, route: Route | None) -> float | None:
    """Length to cut: a measured run as it is; else route and tail, less the lead at the load's end."""
    measured = measured_m(problem, fed, wire)
    if measured is not None:
        return measured
    if route is None:
        return None
    load = problem.load.get(wire.loads[0]) if wire.loads else None
    if wire.role == "return" and load is not None and load.return_to == CHASSIS and not has_studs(problem):
        return problem.margins.ground_lead_m
    lead = load.lead_m if load is not None and wire.role in ("out", "branch") else 0.0
    return max(route.length_m + problem.margins.tail_m - lead, 0.0)


def _current_a(problem: Problem, fed: Branch, n: int) -> float:
    """Full current that a wire carries."""
    names = (name for name in carried(fed, n) if name in problem.load)
    return sum(problem.load[name].full_current_a for name in names) / divided(fed, n)


def _contact_ohm(problem: Problem, wire: PlacedWire) -> float:
    total = 0.0
    for contact in wire.contacts:
        bulkhead = problem.bulkhead.get(contact.bulkhead)
        if bulkhead is not None and 0 <= contact.set < len(bulkhead.contacts):
            total += bulkhead.contacts[contact.set].resistance_ohm
    return total
