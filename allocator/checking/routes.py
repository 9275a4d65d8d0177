"""Rules on where wires run and what they join."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from allocator.checking.report import Breach, number
from allocator.evaluation.branches import Branch
from allocator.evaluation.context import Context
from allocator.evaluation.laid_conductors import Conductor, shortest
from allocator.evaluation.resolved_circuits import ROLES, has_studs, measured_m, return_place
from allocator.evaluation.tolerance import excess
from allocator.layout import PlacedWire
from allocator.problem import CHASSIS, Load


def wire_route(context: Context) -> Iterator[Breach]:
    """A route passes from place to place along segments, from the start of its wire to the end."""
    for wire, conductor in context.wires():
        yield from route(conductor, wire.route, wire.start, wire.end)


def route(conductor: Conductor, places: tuple[str, ...], start: str, end: str) -> Iterator[Breach]:
    """Check the route of a conductor against the network and its two ends.

    Parameters
    ----------
    conductor
        The conductor.
    places
        Names of the places along it.
    start
        Where it has to start.
    end
        Where it has to end.
    """
    if conductor.route is None:
        way = " - ".join(places) or "nowhere"
        text = f"{conductor.label} runs {way}, which is not a way through the machine"
        yield Breach(conductor.label, 1, "route", text)
        return
    wrong = (places[0] != start) + (places[-1] != end)
    if wrong:
        text = f"{conductor.label} runs from {places[0]} to {places[-1]}, but joins {start} and {end}"
        yield Breach(conductor.label, wrong, "ends", text)


def closed_segment(context: Context) -> Iterator[Breach]:
    """A wire passes no segment that is for cables only, nor a cable one that is for wires only."""
    given = [one.conductor for one in context.given if one.conductor is not None]
    for conductor in (*(own for _, own in context.wires()), *context.feeds.values(), *given):
        closed = () if conductor.route is None else context.network.forbidden(conductor.route, conductor.line)
        for segment in closed:
            own = context.problem.segments[segment]
            text = f"{conductor.label} is a {conductor.line} and passes {own.name}, which is for {own.only}s only"
            yield Breach(conductor.label, 1, "segments", text)


def wire_ends(context: Context) -> Iterator[Breach]:
    """An outgoing wire joins the unit's or the source's place and the load, a return the load and its return point."""
    for fed in context.branches:
        for n, conductor in fed.pairs():
            wire = fed.wires[n]
            start, end = _asked_ends(context, fed, wire)
            wrong = (start is not None and wire.start != start) + (end is not None and wire.end != end)
            if wrong:
                asked = f"{start or wire.start} and {end or wire.end}"
                text = f"{conductor.label} joins {wire.start} and {wire.end}, instead of {asked}"
                yield Breach(conductor.label, wrong, "ends", text)


def wires_complete(context: Context) -> Iterator[Breach]:
    """One outgoing wire per output or fuse and one return per load; trunks and branches where loads share.

    A load that reverses has no return.
    """
    for fed in context.branches:
        if fed.site is None or not fed.loads:
            continue
        roles = Counter(wire.role for wire in fed.wires)
        outs = 0 if fed.shared else fed.outgoing
        yield from _counted(fed, "out wires", roles["out"], outs)
        if not fed.shared:
            yield from _counted(fed, "trunk and branch wires", roles["trunk"] + roles["branch"], 0)
        strange = roles.total() - sum(roles[role] for role in ROLES)
        yield from _counted(fed, "wires of unknown role", strange, 0)
        back = Counter(name for wire in fed.wires if wire.role == "return" for name in wire.loads)
        for load in fed.loads:
            yield from _counted(fed, f"returns of load {load.name}", back[load.name], 0 if load.bridge else 1)
        yield from _named_wrongly(fed)


def measured_run(context: Context) -> Iterator[Breach]:
    """A wire with a measured length follows the shortest route; one of ``ground_lead`` stays at its load's place."""
    for fed in context.branches:
        for n, conductor in fed.pairs("return"):
            if conductor.route is not None and _ground_lead(context, fed, fed.wires[n]) and conductor.route.length_m:
                longer = conductor.route.length_m
                text = (
                    f"{conductor.label} is a ground lead, but goes {number(longer)} m further through the "
                    f"machine than it has to"
                )
                yield Breach(conductor.label, longer, "m", text)
        for n, conductor in fed.pairs("out"):
            if measured_m(context.problem, fed, fed.wires[n]) is None or conductor.route is None:
                continue
            places = conductor.route.places
            least = shortest(context.problem, context.network, places[0], places[-1])
            longer = excess(conductor.route.length_m, least.length_m) if least is not None else 0.0
            if longer > 0.0:
                text = f"{conductor.label} was measured, but goes {number(longer)} m further than the shortest route"
                yield Breach(conductor.label, longer, "m", text)


def _ground_lead(context: Context, fed: Branch, wire: PlacedWire) -> bool:
    """Whether a return is of the length that is set where no stud is named, whatever its route."""
    to_chassis = [load for load in fed.loads if load.name in wire.loads and load.return_to == CHASSIS]
    return bool(to_chassis) and not has_studs(context.problem)


def _asked_ends(context: Context, fed: Branch, wire: PlacedWire) -> tuple[str | None, str | None]:
    """Where a wire of its role has to start and end; None where splices decide."""
    load: Load | None = None
    if len(wire.loads) == 1:
        load = next((load for load in fed.loads if load.name == wire.loads[0]), None)
    if wire.role == "return" and load is not None:
        return load.place, return_place(context.problem, context.network, load, fed.source)
    start = fed.site if wire.role == "out" else None
    end = load.place if wire.role in ("out", "branch") and load is not None else None
    return start, end


def _counted(fed: Branch, what: str, there: int, asked: int) -> Iterator[Breach]:
    if there != asked:
        text = f"{fed.label} has {there} {what}, instead of {asked}"
        yield Breach(fed.label, abs(there - asked), "wires", text)


def _named_wrongly(fed: Branch) -> Iterator[Breach]:
    """Wires that name loads which are not theirs: a trunk may carry several, any other wire one."""
    names = {load.name for load in fed.loads}
    for n, conductor in fed.pairs(*ROLES):
        wire = fed.wires[n]
        strange = [name for name in wire.loads if name not in names]
        if strange or (wire.role != "trunk" and len(wire.loads) != 1):
            named = ", ".join(wire.loads) or "no load"
            text = f"{conductor.label} names {named}, instead of one of its circuit"
            yield Breach(conductor.label, max(len(strange), 1), "loads", text)
