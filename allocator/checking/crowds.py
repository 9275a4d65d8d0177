"""How many loaded wires lie together in each segment, and what that leaves of their ampacity."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from allocator.checking.branches import Mounted
from allocator.checking.conductors import followed, shortest
from allocator.layout import Layout
from allocator.problem import Bundling, Problem
from allocator.routing import Network, Route
from allocator.wiring import bundle_factor, next_loading


@dataclass(frozen=True, slots=True)
class Crowd:
    """Loaded wires in each segment, by its number in the problem; ``loading`` None: bundles do not count.

    ``loading`` is the column of the bundle table, ``raised`` that of segments which are loaded more.
    """

    loading: float | None
    wires: Mapping[int, int]
    raised: Mapping[int, float] = field(default_factory=dict)

    def column(self, segment: int) -> float:
        """The column of one segment."""
        return max(self.loading or 0.0, self.raised.get(segment, 0.0))

    def factor(self, route: Route | None) -> float:
        """Share of its free-air ampacity left to a wire on a route: the least over the segments it passes."""
        if self.loading is None or route is None or not route.segments:
            return 1.0
        return min(bundle_factor(self.wires.get(e, 0), self.column(e)) for e in route.segments)


NO_CROWD = Crowd(None, {})


def least_column(problem: Problem) -> float:
    """The column of the bundle table that a problem asks for at least."""
    return next_loading(problem.margins.bundle_loading or 0.6)


def column_of(problem: Problem, stated: float | None) -> float | None:
    """The column that all segments have at least: the stated one, else the problem's; None without bundles.

    A stated loading that is no share counts as 100 %.
    """
    if problem.margins.bundle is Bundling.NONE:
        return None
    if stated is None:
        return least_column(problem)
    return next_loading(stated) if 0.0 < stated <= 1.0 else 1.0


def counted(problem: Problem, network: Network, layout: Layout, mounted: Mapping[str, Mounted]) -> dict[int, int]:
    """Loaded wires in each segment that has any, once for each pass: feeds, circuits, direct loads, given cores."""
    found: Counter[int] = Counter()
    for route, cores in _ways(problem, network, layout, mounted):
        for segment in route.segments if route is not None else ():
            found[segment] += cores
    return dict(found)


def _ways(
    problem: Problem, network: Network, layout: Layout, mounted: Mapping[str, Mounted]
) -> Iterator[tuple[Route | None, int]]:
    """The way of every conductor with a current, and how many lie alike."""
    for unit in mounted.values():
        if unit.stated.feed is not None and unit.stated.feed.route:
            yield followed(problem, network, unit.stated.feed.route), 1
        elif unit.source is not None:
            yield shortest(problem, network, unit.source.place, unit.site.name), 1
    wires = [wire for circuit in layout.circuits for wire in circuit.wires]
    for wire in (*wires, *(wire for direct in layout.direct for wire in direct.wires)):
        yield followed(problem, network, wire.route), 1
    given = {one.name: one for one in problem.given_wires if one.current_a > 0.0}
    for run in layout.given:
        if run.wire in given:
            yield followed(problem, network, run.route), given[run.wire].cores
