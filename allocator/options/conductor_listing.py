"""Conductors that could do a job: every route and size that carries a trip, with its drop and its contacts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import product

from allocator.clock import heed_clock
from allocator.options.already_built import FinishedWire
from allocator.options.conductor_option import ConductorOption, Crossing, Duty, in_range
from allocator.options.workbench import Workbench
from allocator.problem import CHASSIS, SOURCE, ContactSet, Line, Load, Problem, Wire, WireTable
from allocator.routing import Route, RouteError
from allocator.wiring import (
    ampacity_a,
    copper_g,
    resistance_ohm_m,
    running_temperature_c,
    withstand_a2s,
)


@dataclass(frozen=True, slots=True)
class Way:
    """A route that a wire may take, and the length of wire it takes."""

    route: Route
    length_m: float


def measured_runs(problem: Problem) -> dict[tuple[str, str], float]:
    """Lengths in metres measured on the machine, by (load or item, site)."""
    return {(run.load, run.site): run.length_m for run in problem.runs}


def outgoing_ways(bench: Workbench, site: str, load: Load, lines: Iterable[Line] = (Line.WIRE,)) -> tuple[Way, ...]:
    """Ways from a site to a load: the measured run along the shortest route, else every non-dominated route.

    A run of the load goes before a run of its item.

    Parameters
    ----------
    bench
        The problem with all that its options are listed from.
    site
        Place of the unit or source.
    load
        The load.
    lines
        The kinds of line that it may be: wires, cables, or both.
    """
    problem = bench.problem
    measured = bench.runs.get((load.name, site), bench.runs.get((load.item, site)))
    if measured is not None:
        routes = bench.routes(site, load.place, lines)
        return (Way(routes[0] if routes else direct(problem, site, load.place), measured),)
    extra = problem.margins.tail_m - load.lead_m
    return tuple(Way(r, max(0.0, r.length_m + extra)) for r in bench.routes(site, load.place, lines))


def direct(problem: Problem, start: str, end: str) -> Route:
    """A way of which only the ends are known."""
    ambient = max(problem.place_ambient_c(start), problem.place_ambient_c(end))
    return Route(places=(start, end), length_m=0.0, ambient_c=ambient, insulation_c=0.0, bulkheads=(), segments=())


def return_ways(
    bench: Workbench, load: Load, source_place: str, lines: Iterable[Line] = (Line.WIRE,)
) -> tuple[Way, ...]:
    """Ways from a load to where its current returns; none for a bridge load (it needs none).

    Parameters
    ----------
    bench
        The problem with all that its options are listed from.
    load
        The load.
    source_place
        Place of the source that feeds it.
    lines
        The kinds of line that it may be: wires, cables, or both.
    """
    problem, network = bench.problem, bench.network
    if load.return_to == CHASSIS:
        try:
            end = network.stud_of(load.place)
        except RouteError:  # every way to a stud is closed to wires
            return ()
        if end is None:
            return (Way(network.shortest(load.place, load.place), problem.margins.ground_lead_m),)
    else:
        end = source_place if load.return_to == SOURCE else load.return_to
    return tuple(Way(r, r.length_m + problem.margins.tail_m) for r in bench.routes(load.place, end, lines))


def conductor_options(
    bench: Workbench,
    ways: Iterable[Way],
    role: str,
    duty: Duty,
    count: int = 1,
    members: tuple[tuple[int, int], ...] = (),
    tables: tuple[WireTable, ...] = (),
    even: bool = False,
) -> Iterator[ConductorOption]:
    """Every conductor over the given ways that can carry its duty, once for contacts that differ in drop.

    Parameters
    ----------
    role
        What the wire is for, such as "out" or "return".
    duty
        What each of the wires must bear.
    count
        How many wires lie in parallel.
    members
        How many loads of which group: pairs of group and count.
    tables
        Wire tables to choose from; empty for the problem's own.
    even
        Whether the wires have to share a current evenly, so that all take contacts of one resistance.
    """
    problem = bench.problem
    heed_clock()
    for way in ways:
        lines: dict[Line, _Lies] = {}
        for wire, line in bench.wires(way.route, tables or (problem.wires,)):
            if line not in lines:
                lines[line] = _lies(bench, way.route, line)
            lies = lines[line]
            if lies.forbidden:
                continue
            alone = problem.margins.ampacity * ampacity_a(wire, way.route.ambient_c, problem.altitude_m)
            if withstand_a2s(wire) * (1.0 + 1e-9) < duty.let_through_a2s:
                continue
            for at_most, factor in lies.neighbours:
                ampacity = alone * factor
                if ampacity * (1.0 + 1e-9) < duty.trip_a or ampacity <= 0.0:
                    continue
                hot = running_temperature_c(duty.current_a, ampacity, way.route.ambient_c, wire.insulation_c)
                drop = duty.current_a * resistance_ohm_m(wire, hot) * way.length_m
                grams = copper_g(wire, way.length_m)
                built = bench.returns.get(members[0][0]) if role == "return" and members else None
                for crossings, ohm, sunk in _passages(problem, way, wire, duty.current_a, built, even=even):
                    yield ConductorOption(
                        role=role,
                        wire=wire,
                        route=way.route,
                        length_m=way.length_m,
                        copper_g=0.0 if sunk else grams,
                        current_a=duty.current_a,
                        ampacity_a=ampacity,
                        drop_v=drop + duty.current_a * ohm,
                        count=count,
                        crossings=crossings,
                        line=line,
                        trip_a=duty.trip_a,
                        currents_a=tuple(share * duty.current_a for share in duty.shares),
                        bundles=lies.bundles,
                        side=lies.side,
                        at_most=at_most,
                        members=members,
                    )


@dataclass(frozen=True, slots=True)
class _Lies:
    """What a line of any size finds along a route."""

    forbidden: bool
    bundles: tuple[int, ...]
    side: tuple[int, ...]
    neighbours: tuple[tuple[int | None, float], ...]


def _lies(bench: Workbench, route: Route, line: Line) -> _Lies:
    side = bench.side_on(route) if bench.problem.lies_beside(line) else ()
    forbidden, neighbours = bool(bench.network.forbidden(route, line)), tuple(bench.neighbours(route, line))
    return _Lies(forbidden, bench.bundles_on(route, line), side, neighbours)


def _passages(
    problem: Problem, way: Way, wire: Wire, current_a: float, built: FinishedWire | None, *, even: bool
) -> Iterator[tuple[tuple[Crossing, ...], float, bool]]:
    """Contacts that a wire may take, their resistance, and whether it is the wire that is built already."""
    for crossings, ohm in contact_choices(problem, way.route, wire, current_a, even=even):
        yield crossings, ohm, False
    passed = None if built is None else as_built(problem, way, wire, current_a, built)
    if passed is not None:
        yield *passed, True


def as_built(
    problem: Problem, way: Way, wire: Wire, current_a: float, built: FinishedWire
) -> tuple[tuple[Crossing, ...], float] | None:
    """The very contacts of a finished wire, and their resistance; None where it is another, or they do not take it.

    Parameters
    ----------
    problem
        The problem.
    way
        The route, with the length to cut.
    wire
        The row of the wire table.
    current_a
        What the wire carries, in A.
    built
        The finished wire.

    Returns
    -------
    tuple[tuple[Crossing, ...], float] | None
        The crossings, and the resistance of their contacts in ohm.
    """
    if not built.serves(way.route.places, wire, way.length_m) or len(built.sets) != len(way.route.bulkheads):
        return None
    taken = []
    for name, number in zip(way.route.bulkheads, built.sets, strict=True):
        sets = problem.bulkhead[name].contacts
        if number >= len(sets) or not _accepts(sets[number], wire, current_a):
            return None
        taken.append((Crossing(name, frozenset({number})), sets[number].resistance_ohm))
    return tuple(crossing for crossing, _ in taken), sum(ohm for _, ohm in taken)


def contact_choices(
    problem: Problem, route: Route, wire: Wire, current_a: float, *, even: bool = False
) -> list[tuple[tuple[Crossing, ...], float]]:
    """Ways to pass the route's bulkheads: accepted contact sets per crossing and the worst resistance, in ohm.

    Contact sets of one resistance are accepted together; a set that adds resistance is a further alternative, together
    with those of less unless it has to be even. Empty when a bulkhead on the route takes no such wire.

    Parameters
    ----------
    current_a
        What the wire carries, in A.
    even
        Whether all wires of the circuit need contacts of one resistance.
    """
    if not route.bulkheads:
        return [((), 0.0)]
    per_crossing: list[list[tuple[Crossing, float]]] = []
    for name in route.bulkheads:
        sets = problem.bulkhead[name].contacts
        fitting = [n for n, contact in enumerate(sets) if _accepts(contact, wire, current_a)]
        levels = sorted({sets[n].resistance_ohm for n in fitting})
        per_crossing.append(
            [
                (Crossing(name, frozenset(n for n in fitting if _serves(sets[n].resistance_ohm, ohm, even))), ohm)
                for ohm in levels
            ]
        )
    return [
        (tuple(crossing for crossing, _ in choice), sum(ohm for _, ohm in choice)) for choice in product(*per_crossing)
    ]


def _serves(ohm: float, level_ohm: float, even: bool) -> bool:
    return ohm == level_ohm if even else ohm <= level_ohm


def _accepts(contact: ContactSet, wire: Wire, current_a: float) -> bool:
    rated = contact.continuous_a is None or current_a <= contact.continuous_a * (1.0 + 1e-9)
    return rated and in_range(wire.area_mm2, contact.wire_mm2)
