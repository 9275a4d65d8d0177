"""Feeds and spares of units that a layout made by hand leaves out."""

from __future__ import annotations

from dataclasses import replace

from allocator.evaluation.branches import Mounted
from allocator.evaluation.context import Context, feed_of
from allocator.evaluation.laid_conductors import class_asked, followed, shortest
from allocator.evaluation.least_fuses import feed_fuse
from allocator.evaluation.tolerance import excess
from allocator.layout import Feed, FittedUnit
from allocator.problem import Line
from allocator.routing import Route
from allocator.wiring import of_class


def fitted(context: Context) -> tuple[FittedUnit, ...]:
    """The units of a layout, each with its feed, fuse and the outputs it keeps spare."""
    units = []
    for unit in context.layout.units:
        mounted = context.mounted.get(unit.name)
        if mounted is not None and mounted.stated is unit:
            unit = replace(unit, feed=_feed(context, mounted), spare=unit.spare or spares(context, mounted))
        units.append(unit)
    return tuple(units)


def spares(context: Context, mounted: Mounted) -> tuple[tuple[str, str | None, int], ...]:
    """Outputs to keep spare, taken from the free ones of each class, bank by bank in order of the type."""
    used = {pin for fed in context.on_unit(mounted.name) for pin in fed.circuit.pins}
    kept = []
    for name, count in mounted.unit.spare:
        left = count
        for one in mounted.type.outputs:
            if one.name == name:
                taken = min(left, sum(pin not in used for pin in one.pins))
                left -= taken
                if taken:
                    kept.append((one.name, one.bank, taken))
    return tuple(kept)


def _feed(context: Context, mounted: Mounted) -> Feed | None:
    problem, stated = context.problem, mounted.stated.feed
    source = mounted.source
    if source is None:
        return stated
    if stated is None:
        route = shortest(problem, context.network, source.place, mounted.site.name, Line.CABLE)
        return None if route is None else _lightest(context, mounted, route)
    if stated.route:
        route = followed(problem, context.network, stated.route)
    else:
        route = shortest(problem, context.network, source.place, mounted.site.name, Line.CABLE)
        stated = replace(stated, route=() if route is None else route.places)
    if stated.insulation_c is None:
        stated = replace(stated, insulation_c=class_asked(problem, problem.feed_wires, route))
    if stated.fuse_a is None:
        stated = replace(stated, fuse_a=feed_fuse(context, mounted))
    return stated


def _lightest(context: Context, mounted: Mounted, route: Route) -> Feed | None:
    """The lightest feed along a route that serves, None where no size of the table does."""
    problem = context.problem
    fuse = feed_fuse(context, mounted)
    if fuse is None:
        return None
    limit_v = problem.margins.feed_drop * problem.running_v
    asked = max(problem.wire_rules.insulation_c, route.insulation_c)
    for row in sorted(of_class(problem.feed_wires, asked), key=lambda wire: (wire.area_mm2 * wire.lay, wire.size)):
        feed = Feed(size=row.size, route=route.places, insulation_c=row.insulation_c, fuse_a=fuse)
        conductor = feed_of(context, replace(mounted, stated=replace(mounted.stated, feed=feed)))
        if excess(fuse, conductor.ampacity_a or 0.0) == 0.0 and excess(conductor.drop_v or 0.0, limit_v) == 0.0:
            return feed
    return None
