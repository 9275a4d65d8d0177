"""Feeds and direct loads that may stay as they are built, and given wires that do."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from allocator.evaluation.laid_conductors import followed
from allocator.layout import DirectCircuit, FittedUnit, GivenRun, Layout, PlacedWire
from allocator.options import ConductorOption, Crossing, DirectOption, Fault, FeedOption, GivenCore, WiringPlan
from allocator.options.already_built import LENGTH_TOLERANCE_M
from allocator.options.conductor_listing import Way, conductor_options, outgoing_ways
from allocator.options.conductor_option import Duty, lightest_first
from allocator.options.direct_options import fuse_for, fused_duty
from allocator.options.feed_options import feeds_of_cable
from allocator.options.jobs import SLACK
from allocator.options.warmed_wires import judged, returns_within, warmed_by
from allocator.options.wiring_plan import drop_limit_v
from allocator.problem import Line, Load
from allocator.revising.built import finished_wire, sets_of
from allocator.revising.staying import Keeper, as_finished
from allocator.revising.unfit import Unfit, UnfitError
from allocator.wiring import of_class


def finished_feeds(keeper: Keeper, unit: FittedUnit) -> list[FeedOption]:
    """The feed of a unit as it is, at no cost; not numbered.

    Raises
    ------
    UnfitError
        When it no longer serves.
    """
    problem, feed = keeper.problem, unit.feed
    slot = keeper.slot(unit.name)
    if feed is None:
        raise UnfitError(Unfit.NO_FEED)
    route = followed(problem, keeper.bench.network, feed.route)
    if route is not None and keeper.bench.network.forbidden(route, Line.CABLE):
        raise UnfitError(Unfit.CABLES_CLOSED)
    if route is None or (route.places[0], route.places[-1]) != (slot.source.place, slot.site):
        raise UnfitError(Unfit.FEED_SOURCE, slot.source.place)
    length = route.length_m + problem.margins.tail_m
    if feed.length_m is not None and length > feed.length_m + LENGTH_TOLERANCE_M:
        raise UnfitError(Unfit.CABLE_SHORT, feed.length_m, length)
    asked = max(problem.wire_rules.insulation_c, route.insulation_c)
    for wire in of_class(problem.feed_wires, asked):
        if wire.size == feed.size and feed.insulation_c in (None, wire.insulation_c):
            found = feeds_of_cable(keeper.bench, slot, wire, route, length)
            if found:
                return [replace(option, copper_g=0.0) for option in found]
    raise UnfitError(Unfit.CABLE_SIZE, feed.size)


def finished_direct(keeper: Keeper, circuit: DirectCircuit) -> list[DirectOption]:
    """Options of a direct load by which its outgoing wire stays, the return too where it can; not numbered.

    Raises
    ------
    UnfitError
        When the outgoing wire would no longer do.
    """
    problem, load = keeper.problem, keeper.problem.load[circuit.load]
    fuse = fuse_for(problem, load)
    if isinstance(fuse, Fault):
        raise UnfitError(Unfit.FUSE, fuse.text)
    if circuit.source not in ("", problem.sources[0].name):
        raise UnfitError(Unfit.DIRECT_SOURCE, problem.sources[0].name)
    out = [wire for wire in circuit.wires if wire.role == "out"]
    if len(out) != 1:
        raise UnfitError(Unfit.ONE_OUT)
    way = _way_of(keeper, load, out[0])
    if way is None:
        raise UnfitError(Unfit.DIRECT_WAY)
    duty = fused_duty(load, fuse)
    tables = (problem.wires, problem.feed_wires)
    made = as_finished(keeper.bench, way, "out", duty, ((-1, 1),), finished_wire(out[0]), tables)
    outs = [replace(own, members=()) for own in made]
    found = list(_completed(keeper, load, fuse, outs, _backs(keeper, circuit, load, duty)))
    if not found:
        raise UnfitError(Unfit.DROP_FUSE, load.name)
    return found


def _way_of(keeper: Keeper, load: Load, wire: PlacedWire) -> Way | None:
    """The way of the outgoing wire of a direct load, one round a segment that was too warm among them."""
    problem, bench = keeper.problem, keeper.bench
    place = problem.sources[0].place
    for way in outgoing_ways(bench, place, load, tuple(Line)):
        if way.route.places == wire.route:
            return way
    measured = any((name, place) in bench.runs for name in (load.name, load.item))
    route = None if measured else followed(problem, bench.network, wire.route)
    if route is None or (route.places[0], route.places[-1]) != (place, load.place):
        return None
    return Way(route, max(0.0, route.length_m + problem.margins.tail_m - load.lead_m))


def new_direct_with_old_return(keeper: Keeper, circuit: DirectCircuit) -> list[DirectOption]:
    """Options of a direct load that is fed by a new wire, where its finished return may stay; not numbered."""
    problem, load = keeper.problem, keeper.problem.load[circuit.load]
    fuse = fuse_for(problem, load)
    if isinstance(fuse, Fault):
        return []
    duty = fused_duty(load, fuse)
    place, tables = problem.sources[0].place, (problem.wires, problem.feed_wires)
    ways = outgoing_ways(keeper.bench, place, load, tuple(Line))
    out = list(conductor_options(keeper.bench, ways, "out", duty, tables=tables))
    back = [wire for wire in _backs(keeper, circuit, load, duty) if wire.copper_g == 0.0]
    return list(_completed(keeper, load, fuse, out, back))


def _backs(keeper: Keeper, circuit: DirectCircuit, load: Load, duty: Duty) -> list[ConductorOption]:
    """Return wires of a direct load, the finished one at no cost."""
    built = next((finished_wire(wire) for wire in circuit.wires if wire.role == "return"), None)
    bench = keeper.bench if built is None else replace(keeper.bench, returns={-1: built})
    problem = keeper.problem
    ways = keeper.return_ways(load, built, problem.sources[0].place, tuple(Line))
    tables = (problem.wires, problem.feed_wires)
    found = conductor_options(bench, ways, "return", duty, 1, ((-1, 1),), tables)
    return [replace(wire, members=()) for wire in found]


def _completed(
    keeper: Keeper, load: Load, fuse: float, outs: list[ConductorOption], backs: list[ConductorOption]
) -> Iterator[DirectOption]:
    limit, lost = drop_limit_v(keeper.problem, load, fed=False) * SLACK, warmed_by(keeper.bench)
    for out in outs:
        warm_v = 0.0 if lost is None else lost(out)
        for back, drop in returns_within(lightest_first(backs), out.drop_v, limit, lost, warm_v):
            plan = judged(keeper.problem, WiringPlan((out, back), (), 0.0, drop), [(None, load)], keeper.bench.lazy)
            yield DirectOption(-1, load, fuse, plan)


def unchanged_cores(keeper: Keeper, layout: Layout) -> tuple[tuple[GivenCore, ...], frozenset[str]]:
    """Cores of given wires, those that lie already on their very contacts; and the names of those wires."""
    runs = {run.wire: run for run in layout.given}
    seen: dict[str, int] = {}
    cores: list[GivenCore] = []
    names = set()
    for core in keeper.option_list.given:
        run, number = runs.get(core.name), seen.get(core.name, 0)
        seen[core.name] = number + 1
        sets = None if run is None else _sets(keeper, run, core, number)
        if sets is None:
            cores.append(core)
            continue
        names.add(core.name)
        crossings = tuple(Crossing(x.bulkhead, frozenset({n})) for x, n in zip(core.crossings, sets, strict=True))
        cores.append(replace(core, crossings=crossings))
    return tuple(cores), frozenset(names)


def _sets(keeper: Keeper, run: GivenRun, core: GivenCore, number: int) -> tuple[int, ...] | None:
    """Contact sets of one core as it lies; None where the wire would have to be another."""
    given = next(wire for wire in keeper.problem.given_wires if wire.name == core.name)
    alike = (run.size, run.cores, run.route) == (core.wire.size, given.cores, core.route.places)
    short = run.length_m is not None and core.length_m > run.length_m + LENGTH_TOLERANCE_M
    crossings = len(core.crossings)
    own = sets_of(run.contacts)[number * crossings : (number + 1) * crossings]
    if not alike or short or len(own) != crossings:
        return None
    return own if all(n in x.accepted for n, x in zip(own, core.crossings, strict=True)) else None
