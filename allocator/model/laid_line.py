"""Lines as they lie along a route: what one option, feed or given core lays there."""

from __future__ import annotations

from dataclasses import dataclass

from allocator.options import ConductorOption, FeedOption, GivenCore
from allocator.options.workbench import factor_of
from allocator.problem import Line, Problem, Wire
from allocator.routing import Route
from allocator.wiring import BundledWire, ampacity_a


@dataclass(frozen=True, slots=True)
class LaidLine:
    """``count`` alike lines along a route; ``currents_a`` by condition, ``trip_a`` of trip or fuse (a given: current).

    ``beside``: it lies beside the bundles. ``ampacity_a`` is what it carries, with the factors of its route and of
    ``at_most`` cables side by side (None: of those counted), ``alone_a`` what it would if it lay alone.
    """

    route: Route
    count: int
    wire: BundledWire
    currents_a: tuple[float, ...]
    ampacity_a: float
    alone_a: float
    beside: bool
    at_most: int | None = None

    def at(self, condition: int) -> BundledWire:
        """The wire with what it carries in a condition."""
        return BundledWire(self.wire.wire, self.currents_a[condition], self.wire.trip_a)


def alone_a(problem: Problem, wire: Wire, route: Route, line: Line) -> float:
    """What a line carries where nothing lies beside it.

    Parameters
    ----------
    problem
        The problem.
    wire
        The row of the wire table.
    route
        The route that it takes.
    line
        Whether it is a wire or a cable.

    Returns
    -------
    float
        Amperes.
    """
    free = ampacity_a(wire, route.ambient_c, problem.altitude_m)
    return problem.margins.ampacity * free * factor_of(problem, route, line)


def of_conductor(problem: Problem, own: ConductorOption) -> LaidLine:
    """A conductor of an option; a wire in a bundle carries what it would alone."""
    beside = problem.lies_beside(own.line)
    return LaidLine(
        own.route,
        own.count,
        BundledWire(own.wire, own.current_a, own.trip_a),
        own.currents_a,
        own.ampacity_a,
        alone_a(problem, own.wire, own.route, own.line) if beside else own.ampacity_a,
        beside,
        own.at_most,
    )


def of_feed(problem: Problem, feed: FeedOption, currents_a: tuple[float, ...] = ()) -> LaidLine:
    """A feed; what it carries is known of a solution only."""
    wire = BundledWire(feed.wire, max(currents_a, default=0.0), feed.fuse_a)
    beside = problem.lies_beside(Line.CABLE)
    alone = alone_a(problem, feed.wire, feed.route, Line.CABLE)
    return LaidLine(feed.route, 1, wire, currents_a, feed.ampacity_a, alone, beside, feed.at_most)


def of_core(problem: Problem, core: GivenCore) -> LaidLine:
    """A core of a given wire: it carries the current given for it, in every condition."""
    currents = (core.current_a,) * len(problem.conditions)
    wire = BundledWire(core.wire, core.current_a, core.current_a)
    alone, beside = alone_a(problem, core.wire, core.route, core.line), problem.lies_beside(core.line)
    return LaidLine(core.route, 1, wire, currents, core.ampacity_a, alone, beside, core.at_most)
