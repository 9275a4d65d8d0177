"""What lies beside a line, and what that leaves of its ampacity."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from allocator.evaluation.branches import Mounted
from allocator.evaluation.laid_conductors import followed, line_of_table, shortest, table_of
from allocator.layout import Layout
from allocator.problem import Bundling, Line, Problem
from allocator.routing import Network, Route
from allocator.wiring import bundle_factor


@dataclass(frozen=True)
class Neighbours:
    """What a line finds in each segment, by its number in the problem.

    ``cables`` lie side by side there, a bundle of wires counting as one; ``bodies_c`` is how warm the middle of the
    bundle is, in degC.
    """

    problem: Problem
    cables: Mapping[int, int] = field(default_factory=dict)
    bodies_c: Mapping[int, float] = field(default_factory=dict)

    def bundle_c(self, route: Route | None, line: Line) -> float | None:
        """The warmest bundle that a line lies in along a route, in degC; None where it lies in none that is known."""
        if route is None or self.problem.lies_beside(line):
            return None
        return max((self.bodies_c[e] for e in route.segments if e in self.bodies_c), default=None)

    def factor(self, route: Route | None, line: Line) -> float:
        """Share of its free-air ampacity left to a line on a route: the least over the segments it passes."""
        if route is None:
            return 1.0
        return min((self._in_segment(e, line) for e in route.segments), default=1.0)

    def _in_segment(self, e: int, line: Line) -> float:
        segment, margins = self.problem.segments[e], self.problem.margins
        if margins.bundle is Bundling.NONE:
            return segment.factor
        if self.problem.lies_beside(line):
            return segment.factor * bundle_factor(self.cables.get(e, 1), 1.0)
        if margins.bundle is Bundling.TABLE:
            return segment.factor * bundle_factor(*self.problem.stated_of(segment))
        return segment.factor


def side_by_side(problem: Problem, network: Network, layout: Layout, mounted: Mapping[str, Mounted]) -> dict[int, int]:
    """Cables in each segment that has any, once for each pass, and one more for the bundle where wires may pass.

    Parameters
    ----------
    problem
        The problem.
    network
        Its route network.
    layout
        The layout.
    mounted
        The fitted units by name.
    """
    cables: Counter[int] = Counter()
    for route, line, cores in _ways(problem, network, layout, mounted):
        if route is not None and problem.lies_beside(line):
            for segment in route.segments:
                cables[segment] += cores
    return {e: count + (problem.segments[e].only is not Line.CABLE) for e, count in cables.items()}


def _ways(
    problem: Problem, network: Network, layout: Layout, mounted: Mapping[str, Mounted]
) -> Iterator[tuple[Route | None, Line, int]]:
    """The way of every conductor, what it is, and how many lie alike."""
    for unit in mounted.values():
        if unit.stated.feed is not None and unit.stated.feed.route:
            yield followed(problem, network, unit.stated.feed.route), Line.CABLE, 1
        elif unit.source is not None:
            yield shortest(problem, network, unit.source.place, unit.site.name, Line.CABLE), Line.CABLE, 1
    for circuit in layout.circuits:
        for wire in circuit.wires:
            yield followed(problem, network, wire.route), Line.WIRE, 1
    for direct in layout.direct:
        for wire in direct.wires:
            route = followed(problem, network, wire.route)
            yield route, line_of_table(problem, table_of(problem, wire.size, route, branch=True)), 1
    given = {one.name: one for one in problem.given_wires}
    for run in layout.given:
        if run.wire in given:
            one = given[run.wire]
            yield followed(problem, network, run.route), problem.line_of(one.size), one.cores
