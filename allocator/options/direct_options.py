"""Loads fused at the source, and wires that are given: what they take of the machine beside the circuits."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from operator import ge

from allocator.options.conductor_listing import conductor_options, contact_choices, outgoing_ways, return_ways
from allocator.options.conductor_option import ConductorOption, Crossing, Duty
from allocator.options.faults import Evident, Fault
from allocator.options.jobs import SLACK, shares_of
from allocator.options.single_loads import cheapest_pairs
from allocator.options.warmed_wires import judged, warmed_by
from allocator.options.wiring_plan import WiringPlan, cheapest_by_footprint, drop_limit_v
from allocator.options.workbench import Workbench
from allocator.problem import GivenWire, Line, Load, Problem, Supply, Wire
from allocator.routing import Route, RouteError
from allocator.wiring import (
    ampacity_a,
    copper_g,
    fuse_let_through_a2s,
    fuse_stands_a,
    of_class,
    standard_fuses,
)


@dataclass(frozen=True, slots=True)
class DirectOption:
    """One way to wire a load that is fused at the first source; ``stays``: its name, where that leaves it as built."""

    index: int
    load: Load
    fuse_a: float
    plan: WiringPlan
    stays: str = ""


@dataclass(frozen=True, slots=True)
class GivenCore:
    """One core of a given wire: its route and length, and the contacts open to it at each crossing.

    ``at_most`` is as of a conductor.
    """

    name: str
    wire: Wire
    route: Route
    length_m: float
    copper_g: float
    current_a: float
    ampacity_a: float
    crossings: tuple[Crossing, ...]
    line: Line = Line.WIRE
    at_most: int | None = None


def direct_options(bench: Workbench) -> tuple[tuple[DirectOption, ...], tuple[Fault, ...]]:
    """Options of every direct load, and why others have none."""
    found: list[DirectOption] = []
    faults: list[Fault] = []
    for load in bench.problem.loads:
        if load.supply is Supply.DIRECT:
            listed = _options_of(bench, load)
            if isinstance(listed, Fault):
                faults.append(listed)
            else:
                found += [DirectOption(len(found) + n, load, fuse, plan) for n, (fuse, plan) in enumerate(listed)]
    return tuple(found), tuple(faults)


def _options_of(bench: Workbench, load: Load) -> list[tuple[float, WiringPlan]] | Fault:
    problem, place = bench.problem, bench.problem.sources[0].place
    fuse = fuse_for(problem, load)
    if isinstance(fuse, Fault):
        return fuse
    duty = fused_duty(load, fuse)
    tables = (problem.wires, problem.feed_wires)
    ways = outgoing_ways(bench, place, load, tuple(Line))
    out = list(conductor_options(bench, ways, "out", duty, tables=tables))
    back_ways = return_ways(bench, load, place, tuple(Line))
    back = list(conductor_options(bench, back_ways, "return", duty, tables=tables))
    pairs = cheapest_pairs(out, back, drop_limit_v(problem, load, fed=False), lost=warmed_by(bench))
    plans = [
        WiringPlan(
            conductors=(o,) if r is None else (o, r),
            splices=(),
            splice_g=0.0,
            drop_v=o.drop_v + (r.drop_v if r else 0.0),
        )
        for o, r in pairs
    ]
    if not plans:
        return Fault(Evident.DIRECT_WIRE, (load.name, fuse))
    plans = [judged(problem, plan, [(None, load)], bench.lazy) for plan in plans]
    return [(fuse, plan) for plan in _most_side_by_side(cheapest_by_footprint(plans))]


def _most_side_by_side(plans: list[WiringPlan]) -> list[WiringPlan]:
    """Of plans with the same wires, those that allow the most other cables beside them."""
    alike: dict[object, list[tuple[tuple[float, ...], WiringPlan]]] = {}
    for plan in plans:
        bears = tuple(inf if c.at_most is None else float(c.at_most) for c in plan.conductors)
        alike.setdefault(plan.key, []).append((bears, plan))
    return [
        plan
        for own in alike.values()
        for bears, plan in own
        if not any(other != bears and all(map(ge, other, bears)) for other, _ in own)
    ]


def fuse_for(problem: Problem, load: Load) -> float | Fault:
    """The fuse of a direct load in A, the least standard one for its current and its start; or why none will do."""
    needed = load.full_current_a / problem.margins.fuse_use
    enough = [fuse for fuse in standard_fuses() if fuse * SLACK >= needed]
    if not enough:
        return Fault(Evident.FUSE, (load.name, needed))
    fuse = next((fuse for fuse in enough if _stands_start(fuse, load)), None)
    start_a = load.inrush_a or 0.0
    if fuse is None:
        return Fault(Evident.START, (load.name, start_a, load.inrush_s or 0.0))
    if load.max_trip_a is not None and fuse > load.max_trip_a * SLACK:
        if fuse == enough[0]:
            return Fault(Evident.MAX_TRIP, (load.name, fuse, load.max_trip_a))
        return Fault(Evident.MAX_TRIP_AT_START, (load.name, fuse, start_a, load.max_trip_a))
    if load.stall_a is not None and fuse >= load.stall_a * (1.0 - 1e-9):
        if fuse == enough[0]:
            return Fault(Evident.STALL, (load.name, fuse, load.stall_a))
        return Fault(Evident.STALL_AT_START, (load.name, fuse, start_a, load.stall_a))
    return fuse


def _stands_start(fuse_a: float, load: Load) -> bool:
    """Whether a fuse withstands the start of a load that it protects alone."""
    if load.inrush_a is None or load.inrush_s is None:
        return True
    return load.inrush_a <= fuse_stands_a(fuse_a, load.inrush_s) * SLACK


def fused_duty(load: Load, fuse_a: float) -> Duty:
    """What the wires of a direct load have to carry behind a fuse."""
    return Duty(load.full_current_a, fuse_a, fuse_let_through_a2s(fuse_a), shares_of([(load, 1)]))


def given_cores(bench: Workbench) -> tuple[tuple[GivenCore, ...], tuple[Fault, ...]]:
    """Every core of every given wire, and why others cannot lie as they are given."""
    problem = bench.problem
    cores: list[GivenCore] = []
    faults: list[Fault] = []
    for given in problem.given_wires:
        found = _given_core(bench, given)
        if isinstance(found, Fault):
            faults.append(found)
        else:
            cores += [found] * given.cores
    return tuple(cores), tuple(faults)


def _given_core(bench: Workbench, given: GivenWire) -> GivenCore | Fault:
    """One core as it lies, bearing as many cables beside it as it can; or why it cannot lie so."""
    problem = bench.problem
    line = problem.line_of(given.size)
    try:
        route = bench.network.shortest(given.start, given.end, line)
    except RouteError as why:
        return Fault(Evident.GIVEN_ROUTE, (given.name, str(why)))
    wire = given_wire(problem, given.size, route)
    if wire is None:
        return Fault(Evident.GIVEN_CLASS, (given.name, given.size))
    length = route.length_m + problem.margins.tail_m
    choices = contact_choices(problem, route, wire, given.current_a)
    if not choices:
        return Fault(Evident.GIVEN_CONTACT, (given.name, given.size))
    alone = problem.margins.ampacity * ampacity_a(wire, route.ambient_c, problem.altitude_m)
    bearing = [
        (at_most, alone * factor)
        for at_most, factor in bench.neighbours(route, line)
        if given.current_a <= alone * factor * SLACK
    ]
    if not bearing:
        return Fault(Evident.GIVEN_CURRENT, (given.name, given.size, given.current_a))
    at_most, ampacity = bearing[-1]
    grams = copper_g(wire, length)
    return GivenCore(given.name, wire, route, length, grams, given.current_a, ampacity, choices[-1][0], line, at_most)


def given_wire(problem: Problem, size: str, route: Route) -> Wire | None:
    """A size looked up in both tables, in the lowest class that the route asks for."""
    asked = max(problem.wire_rules.insulation_c, route.insulation_c)
    wires = (*of_class(problem.wires, asked), *of_class(problem.feed_wires, asked))
    return next((w for w in wires if w.size == size), None)


__all__ = [
    "ConductorOption",
    "DirectOption",
    "GivenCore",
    "direct_options",
    "fuse_for",
    "fused_duty",
    "given_cores",
    "given_wire",
]
