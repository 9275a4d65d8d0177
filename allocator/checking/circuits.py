"""Circuits resolved against the problem: their wires as conductors, the drop to each load."""

from __future__ import annotations

from dataclasses import replace

from allocator.checking.conductors import Conductor, carries_a, class_asked, followed, row_of
from allocator.checking.context import Fed, Mounted, class_of_pin, run_of
from allocator.checking.joints import join, splices_needed
from allocator.layout import Circuit, PlacedWire
from allocator.problem import CHASSIS, SOURCE, Load, Problem
from allocator.routing import Network, Route, RouteError
from allocator.wiring import SPLICE_OHM

ROLES = ("out", "trunk", "branch", "return")


def feed_circuit(problem: Problem, network: Network, mounted: Mounted | None, circuit: Circuit) -> Fed:
    """A circuit with its loads, output classes and conductors; none where its unit or loads are unknown."""
    fed = without_wires(problem, mounted, circuit)
    if mounted is None or not fed.loads:
        return fed
    if fed.shared:
        names = tuple(dict.fromkeys(circuit.loads))
        fed = replace(fed, joints=join(circuit.wires, mounted.site.name, names))
    conductors = tuple(_conductor(problem, network, fed, n) for n in range(len(circuit.wires)))
    return replace(fed, conductors=conductors)


def without_wires(problem: Problem, mounted: Mounted | None, circuit: Circuit) -> Fed:
    """A circuit with its loads and output classes only."""
    return Fed(
        circuit=circuit,
        loads=tuple(problem.load[name] for name in circuit.loads if name in problem.load),
        mounted=mounted,
        classes=tuple(class_of_pin(mounted, pin) for pin in circuit.pins),
    )


def return_place(problem: Problem, network: Network, load: Load, mounted: Mounted | None) -> str | None:
    """Where the return wire of a load ends; None where that cannot be told."""
    if load.return_to == CHASSIS:
        if not has_studs(problem):
            return load.place
        try:
            return network.stud_of(load.place)
        except RouteError:
            return None
    if load.return_to == SOURCE:
        source = problem.source.get(mounted.unit.source) if mounted is not None else None
        return source.place if source is not None else None
    return load.return_to


def has_studs(problem: Problem) -> bool:
    """Whether the problem names any ground stud."""
    return any(place.stud_a is not None for place in problem.places)


def drops_v(fed: Fed, splice_wires: int) -> dict[str, float | None]:
    """Branch drop of each load in volts, from output to return point; None where a wire is not resolved."""
    return {load.name: _drop_v(fed, load, splice_wires) for load in fed.loads}


def _drop_v(fed: Fed, load: Load, splice_wires: int) -> float | None:
    parts: list[float | None]
    if fed.joints is not None:
        parts = _shared_parts(fed, load, splice_wires)
    else:
        outs = [conductor.drop_v for _, conductor in fed.pairs("out")]
        known = [drop for drop in outs if drop is not None]
        # the current of a bridge passes both wires; of a parallel group the longest wire is the worst
        parts = list(outs) if fed.bridge or len(known) < len(outs) else [max(known, default=None)]
    returns = [c.drop_v for n, c in fed.pairs("return") if load.name in fed.circuit.wires[n].loads]
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


def _conductor(problem: Problem, network: Network, fed: Fed, n: int) -> Conductor:
    wire = fed.circuit.wires[n]
    route = _route(problem, network, fed, wire)
    row = row_of(problem.wires, wire.size, wire.insulation_c)
    return Conductor(
        label=f"{fed.label}, {_called(fed, n)}",
        route=route,
        row=row,
        asked_c=class_asked(problem, problem.wires, route),
        ampacity_a=carries_a(problem, row, route),
        current_a=_current_a(problem, fed, n),
        length_m=_length_m(problem, fed, wire, route),
        contact_ohm=_contact_ohm(problem, wire),
    )


def _called(fed: Fed, n: int) -> str:
    """Words for a wire: its role and, where there are several of that role, its number among them."""
    role = fed.circuit.wires[n].role
    alike = [i for i, wire in enumerate(fed.circuit.wires) if wire.role == role]
    return f"{role} wire" if len(alike) == 1 else f"{role} wire {alike.index(n) + 1}"


def _route(problem: Problem, network: Network, fed: Fed, wire: PlacedWire) -> Route | None:
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


def measured_m(problem: Problem, fed: Fed, wire: PlacedWire) -> float | None:
    """The measured length of an outgoing wire, None where it goes by its route."""
    if wire.role != "out" or fed.mounted is None or not fed.loads:
        return None
    run = run_of(problem, fed.loads[0], fed.mounted.site.name)
    return None if run is None else run.length_m


def _length_m(problem: Problem, fed: Fed, wire: PlacedWire, route: Route | None) -> float | None:
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


def _current_a(problem: Problem, fed: Fed, n: int) -> float:
    """What a wire carries: a share of the circuit, what lies behind a trunk, or its load's full current."""
    wire = fed.circuit.wires[n]
    if wire.role == "out":
        return fed.current_a / fed.parallel
    if wire.role == "trunk" and fed.joints is not None:
        names = dict(fed.joints.downstream).get(n, ())
    else:
        names = tuple(dict.fromkeys(wire.loads))
    return sum(problem.load[name].full_current_a for name in names if name in problem.load)


def _contact_ohm(problem: Problem, wire: PlacedWire) -> float:
    total = 0.0
    for contact in wire.contacts:
        bulkhead = problem.bulkhead.get(contact.bulkhead)
        if bulkhead is not None and 0 <= contact.set < len(bulkhead.contacts):
            total += bulkhead.contacts[contact.set].resistance_ohm
    return total
